// Files on servers as GDAL's virtual files: places are counted here, bytes come from Go.

#define _GNU_SOURCE // for the 64-bit stat that GDAL is built with

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_vsi.h>

#include "_cgo_export.h"
#include "remote.h"

typedef struct {
    unsigned long long id, size, at;
    int eof;
} remote;

static int remote_stat(void *user, const char *name, VSIStatBufL *stat, int flags)
{
    unsigned long long size = 0;
    unsigned long long id = acrebandOpenRemote((char *)name, &size);
    if (id == 0)
        return -1;
    acrebandCloseRemote(id);
    memset(stat, 0, sizeof(*stat));
    stat->st_mode = S_IFREG;
    stat->st_size = size;
    return 0;
}

static void *remote_open(void *user, const char *name, const char *access)
{
    if (strpbrk(access, "wa+") != NULL) {
        errno = EACCES;
        return NULL;
    }
    remote *r = calloc(1, sizeof(remote));
    if (r == NULL)
        return NULL;
    r->id = acrebandOpenRemote((char *)name, &r->size);
    if (r->id == 0) {
        free(r);
        errno = ENOENT;
        return NULL;
    }
    return r;
}

static int remote_close(void *file)
{
    acrebandCloseRemote(((remote *)file)->id);
    free(file);
    return 0;
}

static vsi_l_offset remote_tell(void *file) { return ((remote *)file)->at; }

static int remote_seek(void *file, vsi_l_offset to, int whence)
{
    remote *r = file;
    r->eof = 0;
    r->at = to + (whence == SEEK_CUR ? r->at : whence == SEEK_END ? r->size : 0);
    return 0;
}

static int remote_eof(void *file) { return ((remote *)file)->eof; }

static void remote_failed(char *why)
{
    CPLError(CE_Failure, CPLE_FileIO, "%s", why);
    free(why);
    errno = EIO;
}

static size_t remote_read(void *file, void *into, size_t size, size_t count)
{
    remote *r = file;
    unsigned long long want = (unsigned long long)size * count, left = r->at < r->size ? r->size - r->at : 0;
    if (want > left) {
        want = left;
        r->eof = 1;
    }
    if (want == 0)
        return 0;
    size_t length = want;
    char *why = acrebandReadRemote(r->id, 1, &into, &r->at, &length);
    if (why != NULL) {
        remote_failed(why);
        return 0;
    }
    r->at += want;
    return want / size;
}

static int remote_read_many(void *file, int n, void **into, const vsi_l_offset *at, const size_t *lengths)
{
    if (n <= 0)
        return 0;
    unsigned long long *from = malloc(n * sizeof(*from));
    if (from == NULL)
        return -1;
    for (int i = 0; i < n; i++)
        from[i] = at[i];
    char *why = acrebandReadRemote(((remote *)file)->id, n, into, from, (size_t *)lengths);
    free(from);
    if (why == NULL)
        return 0;
    remote_failed(why);
    return -1;
}

static char **remote_siblings(void *user, const char *name) { return CPLCalloc(1, sizeof(char *)); }

int acreband_install_remote(const char *prefix)
{
    VSIFilesystemPluginCallbacksStruct *calls = VSIAllocFilesystemPluginCallbacksStruct();
    calls->stat = remote_stat;
    calls->open = remote_open;
    calls->close = remote_close;
    calls->tell = remote_tell;
    calls->seek = remote_seek;
    calls->eof = remote_eof;
    calls->read = remote_read;
    calls->read_multi_range = remote_read_many;
    calls->sibling_files = remote_siblings;
    int failed = VSIInstallPluginHandler(prefix, calls);
    VSIFreeFilesystemPluginCallbacksStruct(calls);
    return failed;
}
