package read

/*
#cgo pkg-config: gdal
#include <stdlib.h>
#include <string.h>
#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_http.h>
#include <cpl_string.h>

typedef struct { char failure[500]; char warning[500]; int memory; } messages;

static void CPL_STDCALL keep(CPLErr level, CPLErrorNum code, const char *text) {
	messages *m = CPLGetErrorHandlerUserData();
	if (level >= CE_Failure && !m->failure[0]) {
		CPLStrlcpy(m->failure, text, sizeof m->failure);
		// Drivers in C++ catch their own want of memory and tell of it as of any exception.
		m->memory = code == CPLE_OutOfMemory || strstr(text, "bad_alloc") != NULL;
	}
	if (level == CE_Warning)
		CPLStrlcpy(m->warning, text, sizeof m->warning);
}

// GDAL falls back to the network where this returns nothing, so it answers
// every request with a failure.
static CPLHTTPResult *offline(const char *url, CSLConstList options,
		GDALProgressFunc progress, void *progressArg,
		CPLHTTPFetchWriteFunc write, void *writeArg, void *user) {
	CPLHTTPResult *r = CPLCalloc(1, sizeof *r);
	r->nStatus = 1;
	r->pszErrBuf = CPLStrdup("a file may not fetch from the network");
	return r;
}

static messages *hush(void) {
	messages *m = CPLCalloc(1, sizeof *m);
	CPLErrorReset();
	CPLPushErrorHandlerEx(keep, m);
	CPLHTTPPushFetchCallback(offline, NULL);
	return m;
}

static void unhush(void) {
	CPLHTTPPopFetchCallback();
	CPLPopErrorHandler();
}
*/
import "C"

import (
	"errors"
	"runtime"
	"strings"
	"unsafe"
)

// quietly runs calls to GDAL with nothing printed and no network. It returns
// the first failure that GDAL told of, which is the only way to tell an error
// from the end of a layer, and the last warning.
func quietly(calls func()) (warning string, failure error) {
	// GDAL keeps its error handlers by thread.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	m := C.hush()
	defer C.CPLFree(unsafe.Pointer(m))
	defer C.unhush()
	calls()
	if m.failure[0] != 0 {
		failure = errors.New(message(&m.failure[0]))
		if m.memory != 0 {
			failure = noMemory{failure}
		}
	}
	return message(&m.warning[0]), failure
}

// ErrMemory says that a file took more memory than the process may have.
var ErrMemory = errors.New("out of memory")

// noMemory is ErrMemory in the words of whoever found out.
type noMemory struct{ error }

func (noMemory) Is(target error) bool { return target == ErrMemory }

func message(text *C.char) string {
	return strings.ToValidUTF8(strings.TrimSpace(C.GoString(text)), "?")
}
