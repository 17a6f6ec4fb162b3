// What GDAL asks of files on servers, in C.

#ifndef ACREBAND_REMOTE_H
#define ACREBAND_REMOTE_H

int acreband_install_remote(const char *prefix);

#endif
