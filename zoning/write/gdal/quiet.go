package gdal

/*
#cgo pkg-config: gdal
#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>

typedef struct { char failure[500]; } messages;

static void CPL_STDCALL keep(CPLErr level, CPLErrorNum code, const char *text) {
	messages *m = CPLGetErrorHandlerUserData();
	if (level >= CE_Failure && !m->failure[0])
		CPLStrlcpy(m->failure, text, sizeof m->failure);
}

static messages *hush(void) {
	messages *m = CPLCalloc(1, sizeof *m);
	CPLErrorReset();
	CPLPushErrorHandlerEx(keep, m);
	return m;
}
*/
import "C"

import (
	"errors"
	"runtime"
	"strings"
	"unsafe"
)

// quietly runs calls to GDAL with nothing printed, and returns the first failure that
// GDAL told of.
func quietly(calls func()) error {
	// GDAL keeps its error handlers by thread.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	m := C.hush()
	defer C.CPLFree(unsafe.Pointer(m))
	defer C.CPLPopErrorHandler()
	calls()
	if m.failure[0] == 0 {
		return nil
	}
	return errors.New(strings.ToValidUTF8(strings.TrimSpace(C.GoString(&m.failure[0])), "?"))
}
