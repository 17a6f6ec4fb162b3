package page

import (
	"fmt"
	"sync"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/zoning/mapping"
)

// fetching tells all that wait for elevation what is fetched from servers: the client that fetches knows not for whom.
type fetching struct {
	mu    sync.Mutex
	tells map[int]mapping.Progress
	last  int
}

// tell has somebody told until what it returns is called.
func (f *fetching) tell(to mapping.Progress) (done func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.tells == nil {
		f.tells = map[int]mapping.Progress{}
	}
	f.last++
	n := f.last
	f.tells[n] = to
	return func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		delete(f.tells, n)
	}
}

func (f *fetching) fetched(now fetch.Fetched) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, tell := range f.tells {
		tell(fmt.Sprintf("fetching elevation from %s", now.Host), 0, 0)
	}
}
