package vector

/*
#cgo pkg-config: sqlite3
#include <stdlib.h>
#include <sqlite3.h>

// stranger returns, to be freed with sqlite3_free, the name of the first table or
// view of a database that SQLite by itself cannot query, and why; or NULL.
static char *stranger(const char *file, char **why) {
	sqlite3 *db = NULL;
	sqlite3_stmt *tables = NULL;
	char *found = NULL;
	int rc = sqlite3_open_v2(file, &db, SQLITE_OPEN_READONLY, NULL);
	if (rc == SQLITE_OK)
		rc = sqlite3_prepare_v2(db, "SELECT name FROM sqlite_master WHERE type IN ('table', 'view')", -1, &tables, NULL);
	while (rc == SQLITE_OK && !found && (rc = sqlite3_step(tables)) == SQLITE_ROW) {
		const char *name = (const char *)sqlite3_column_text(tables, 0);
		char *query = sqlite3_mprintf("SELECT * FROM \"%w\"", name ? name : "");
		sqlite3_stmt *one = NULL;
		rc = sqlite3_prepare_v2(db, query, -1, &one, NULL);
		sqlite3_free(query);
		sqlite3_finalize(one);
		if (rc != SQLITE_OK) {
			found = sqlite3_mprintf("%s", name ? name : "");
			*why = sqlite3_mprintf("%s", sqlite3_errmsg(db));
		}
	}
	if (!found && rc != SQLITE_DONE) {
		found = sqlite3_mprintf("");
		*why = sqlite3_mprintf("%s", db ? sqlite3_errmsg(db) : sqlite3_errstr(rc));
	}
	sqlite3_finalize(tables);
	sqlite3_close(db);
	return found;
}
*/
import "C"

import (
	"fmt"
	"unsafe"
)

// checkTables refuses a GeoPackage with a table that lies elsewhere. GDAL knows
// modules of SQLite that read other files (VirtualShape, VirtualText); a table made
// by one would show what is in them. SQLite itself knows none of those: what it can
// query lies in the file, the trees of the usual spatial index among it.
func checkTables(file string) error {
	path := C.CString(file)
	defer C.free(unsafe.Pointer(path))
	var why *C.char
	name := C.stranger(path, &why)
	if name == nil {
		return nil
	}
	defer C.sqlite3_free(unsafe.Pointer(name))
	defer C.sqlite3_free(unsafe.Pointer(why))
	if table := message(name); table != "" {
		return fmt.Errorf("its table %q is not held in the file itself (%s): export the layer to a new GeoPackage", table, message(why))
	}
	return fmt.Errorf("is a damaged GeoPackage (%s)", message(why))
}
