package raster

// #include <stdlib.h>
// #ifdef __GLIBC__
// #include <malloc.h>
// static void keepMemory(void) {
// 	mallopt(M_MMAP_THRESHOLD, 32 << 20);
// 	mallopt(M_TRIM_THRESHOLD, 128 << 20);
// }
// #else
// static void keepMemory(void) {}
// #endif
import "C"

import "sync"

// keepMemory has the C library keep up to 128 MB that GDAL frees: it asks for the
// buffers of every block anew, and glibc would give them back to the system and have
// them cleared again each time, which takes more time than the copy itself.
var keepMemory = sync.OnceFunc(func() { C.keepMemory() })
