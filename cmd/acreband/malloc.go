package main

// #include <stdlib.h>
// #ifdef __GLIBC__
// #include <malloc.h>
// __attribute__((constructor)) static void keepMemory(void) {
// 	mallopt(M_ARENA_MAX, 1);
// 	mallopt(M_MMAP_THRESHOLD, 32 << 20);
// 	mallopt(M_TRIM_THRESHOLD, 128 << 20);
// }
// static void giveBack(void) { malloc_trim(0); }
// #else
// static void giveBack(void) {}
// #endif
import "C"

// The C library keeps up to 128 MB that GDAL frees, in one heap, which must be said before
// there are threads. GDAL asks for the buffers of every block anew; glibc would give them,
// and the small heaps of threads, back to the system and have them cleared again each time,
// which can take longer than making a cloud-optimised copy.

// giveBackMemory gives it back, for work that takes far more and asks GDAL for nothing.
func giveBackMemory() { C.giveBack() }
