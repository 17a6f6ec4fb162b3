package page

import (
	"crypto/rand"
	"net/http"
	"os"
	"sync"
	"time"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/site"
)

// afterLeaving is how long files are kept of a page that was left: it may only have been
// loaded anew.
const afterLeaving = time.Minute

// tray keeps files that were dropped on pages, on disk, so many bytes of all together and for
// a time. What is not used for long goes, file and all.
type tray struct {
	most, left int64 // bytes on disk
	mostFiles  int
	idle       time.Duration
	now        func() time.Time

	mu   sync.Mutex
	byID map[string]*dropped
}

// dropped is a file, or those that one thing lies in, as it was looked through.
type dropped struct {
	id     string
	folder string // its own, which goes with it
	seen   seen
	unit   string // of its heights, as who dropped it said; "" where it says so itself

	until time.Time // when it goes unless it is used; the tray's
	bytes int64     // on disk; the tray's
	users int       // who read it now; the tray's
	gone  bool      // it goes when they are done; the tray's

	mu       sync.Mutex
	readAs   string        // the role that it was read for last; "" for none
	told     measure.Units // in which it was
	features []site.Feature
	backdrop *backdrop // of elevation that was looked at; nil before
}

func newTray(l Limits) *tray {
	return &tray{most: l.DroppedBytes, left: l.DroppedBytes, mostFiles: l.Dropped, idle: l.Idle, now: time.Now, byID: map[string]*dropped{}}
}

// admit takes room on disk before a byte is kept; done gives it back.
func (t *tray) admit(bytes int64) (done func(), err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.clear()
	if len(t.byID) >= t.mostFiles {
		return nil, refuse(http.StatusServiceUnavailable, "%d files are loaded, the most that are kept here: remove one first", len(t.byID))
	}
	if bytes > t.left {
		return nil, refuse(http.StatusServiceUnavailable, "the files that are loaded take %d of %d MB, and there is no room for this one: remove one first", (t.most-t.left)>>20, t.most>>20)
	}
	t.left -= bytes
	return sync.OnceFunc(func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.left += bytes
	}), nil
}

// add keeps a file, whose folder is the tray's from now on, under a name that cannot be guessed.
func (t *tray) add(d *dropped, bytes int64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	d.id, d.bytes, d.until = rand.Text(), bytes, t.now().Add(t.idle)
	t.left -= bytes
	t.byID[d.id] = d
}

// use gives a file to read, which is kept until done is called and a time beyond.
func (t *tray) use(id string) (d *dropped, done func(), err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.clear()
	d = t.byID[id]
	if d == nil {
		return nil, nil, &refusal{status: http.StatusUnprocessableEntity, words: "a file of this job is no longer kept here: drop it again", field: "dropped"}
	}
	d.users++
	d.until = t.now().Add(t.idle)
	return d, sync.OnceFunc(func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		if d.users--; d.users == 0 && d.gone {
			t.discard(d)
		}
	}), nil
}

// remove forgets a file at once, or within a moment where the page of it was left.
func (t *tray) remove(id string, left bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	d := t.byID[id]
	switch soon := t.now().Add(afterLeaving); {
	case d == nil:
	case !left:
		t.drop(d)
	case soon.Before(d.until):
		d.until = soon
	}
}

// sweep forgets what is over.
func (t *tray) sweep() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.clear()
}

func (t *tray) clear() {
	for _, d := range t.byID {
		if t.now().After(d.until) && d.users == 0 {
			t.drop(d)
		}
	}
}

// drop forgets a file; who reads it reads on.
func (t *tray) drop(d *dropped) {
	delete(t.byID, d.id)
	if d.gone = true; d.users == 0 {
		t.discard(d)
	}
}

// empty forgets all files.
func (t *tray) empty() {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, d := range t.byID {
		t.drop(d)
	}
}

// discard takes away a file that nobody reads.
func (t *tray) discard(d *dropped) {
	if d.backdrop != nil {
		d.backdrop.close()
	}
	_ = os.RemoveAll(d.folder) // the rest goes with the server's folder
	t.left += d.bytes
}
