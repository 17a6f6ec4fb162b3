package read

/*
#cgo pkg-config: sqlite3
#include <stdlib.h>
#include <sqlite3.h>

// mostSteps and mostBytes bound what looking at a database takes: steps of SQLite's
// machine, and the bytes of one value.
enum { stepsAtATime = 1000, mostSteps = 20000000, mostBytes = 16 << 20 };

static int tick(void *steps) {
	return (*(int *)steps += stepsAtATime) > mostSteps;
}

// looked are queries that each find the name of something that GDAL would read and that
// is not stored in the file: views among what it asks of every GeoPackage, then layers
// that are views or kept by a module, then columns that are computed.
static const char *const looked[] = {
	"SELECT name FROM sqlite_master WHERE type = 'view' AND (name LIKE 'gpkg\\_%' ESCAPE '\\' OR name LIKE 'rtree\\_%' ESCAPE '\\')",
	"SELECT m.name FROM sqlite_master m JOIN gpkg_contents c ON lower(c.table_name) = lower(m.name)"
	" WHERE m.type = 'view' OR m.sql LIKE 'CREATE VIRTUAL%'",
	"SELECT m.name FROM sqlite_master m JOIN pragma_table_xinfo(m.name) x WHERE m.type = 'table' AND x.hidden IN (2, 3)",
	NULL,
};

// computed returns, to be freed with sqlite3_free, the first name that they find; or NULL.
static char *computed(sqlite3 *db) {
	char *found = NULL;
	for (int i = 0; looked[i] && !found; i++) {
		sqlite3_stmt *one = NULL;
		if (sqlite3_prepare_v2(db, looked[i], -1, &one, NULL) == SQLITE_OK && sqlite3_step(one) == SQLITE_ROW)
			found = sqlite3_mprintf("%s", (const char *)sqlite3_column_text(one, 0));
		sqlite3_finalize(one);
	}
	return found;
}

// stranger returns, to be freed with sqlite3_free, the name of the first table of a
// database that SQLite by itself cannot query, and why; or that of one whose rows are
// computed, and no reason; or NULL. It asks no view.
static char *stranger(const char *file, char **why) {
	sqlite3 *db = NULL;
	sqlite3_stmt *tables = NULL;
	char *found = NULL;
	int rc = sqlite3_open_v2(file, &db, SQLITE_OPEN_READONLY, NULL);
	int steps = 0;
	if (rc == SQLITE_OK) {
		sqlite3_limit(db, SQLITE_LIMIT_LENGTH, mostBytes);
		sqlite3_progress_handler(db, stepsAtATime, tick, &steps);
		rc = sqlite3_prepare_v2(db, "SELECT name FROM sqlite_master WHERE type = 'table'", -1, &tables, NULL);
	}
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
	if (!found)
		found = computed(db);
	sqlite3_close(db);
	return found;
}
*/
import "C"

import (
	"fmt"
	"unsafe"
)

// checkTables refuses a GeoPackage of which something that is read is not stored in it.
// Views, tables of a module and computed columns run when they are read, for as long and
// with as much as a stranger likes; a view that is no layer is never asked. GDAL knows
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
	if why == nil {
		return fmt.Errorf("its layer %q is computed when it is read (a view, or a column with a formula): export it to a new GeoPackage", message(name))
	}
	if table := message(name); table != "" {
		return fmt.Errorf("its table %q is not held in the file itself (%s): export the layer to a new GeoPackage", table, message(why))
	}
	return fmt.Errorf("is a damaged GeoPackage (%s)", message(why))
}
