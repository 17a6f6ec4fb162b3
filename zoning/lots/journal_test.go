package lots

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// small is a disk with little room.
type small struct {
	bytes []byte
	room  int
}

func (s *small) Write(b []byte) (int, error) {
	n := min(len(b), s.room-len(s.bytes))
	s.bytes = append(s.bytes, b[:n]...)
	if n < len(b) {
		return n, syscall.ENOSPC
	}
	return n, nil
}

func (s *small) ReadAt(b []byte, at int64) (int, error) {
	return bytes.NewReader(s.bytes).ReadAt(b, at)
}
func (s *small) Truncate(size int64) error { s.bytes = s.bytes[:size]; return nil }
func (s *small) Sync() error               { return nil }
func (s *small) Close() error              { return nil }

// written is a journal of some records in a file, and how long it was after each.
func written(t testing.TB) (path string, sizes []int64) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "run.journal")
	f, err := os.Create(path)
	require.NoError(t, err)
	defer f.Close()
	j, err := createJournal(path, f, journalHead{Lots: 9})
	require.NoError(t, err)
	for place := range 9 {
		r, err := headed(kindMapped, place+1, record{Lot: "x"}, bytes.Repeat([]byte("f"), 50*place))
		if place%4 == 3 {
			r, err = failed(place+1, "x", nil, nil, &Fault{"no ground", "look"})
		}
		require.NoError(t, err)
		sizes = append(sizes, j.size)
		require.NoError(t, j.add(r))
	}
	return path, append(sizes, j.size)
}

// Cut off anywhere, a journal holds the records before that and can be gone on with.
func TestJournalCutAnywhere(t *testing.T) {
	path, sizes := written(t)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for cut := sizes[0]; cut <= int64(len(text)); cut++ {
		require.NoError(t, os.WriteFile(path, text[:cut], 0o666))
		f, err := os.OpenFile(path, os.O_RDWR, 0)
		require.NoError(t, err)
		j, torn, err := openJournal(path, f, true)
		require.NoError(t, err)
		whole := 0
		for whole+1 < len(sizes) && sizes[whole+1] <= cut {
			whole++
		}
		require.Len(t, j.at, whole)
		require.Equal(t, cut-sizes[whole], torn)
		r, err := failed(7, "x", nil, nil, &Fault{"again", ""})
		require.NoError(t, err)
		require.NoError(t, j.add(r))
		at, ok := j.finished(7)
		require.True(t, ok && at.failed)
		got, err := j.record(at)
		require.NoError(t, err)
		require.Equal(t, r.head, got.head)
		require.NoError(t, f.Close())
	}
}

// A record that was damaged ends what can be relied on.
func TestJournalDamaged(t *testing.T) {
	path, sizes := written(t)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, at := range []int64{sizes[4], sizes[4] + 5, sizes[4] + 20, sizes[5] - 1} {
		bad := bytes.Clone(text)
		bad[at] ^= 0x10
		require.NoError(t, os.WriteFile(path, bad, 0o666))
		f, err := os.Open(path)
		require.NoError(t, err)
		j, torn, err := openJournal(path, f, false)
		require.NoError(t, err)
		require.Len(t, j.at, 4)
		require.Equal(t, int64(len(text))-sizes[4], torn)
		require.NoError(t, f.Close())
	}
	text[3] ^= 1 // in the first
	require.NoError(t, os.WriteFile(path, text, 0o666))
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	_, _, err = openJournal(path, f, false)
	require.ErrorContains(t, err, "is no journal of this program")
}

// A lot for which the disk has no room is not the lot's fault: nothing is recorded of it, so
// that it is mapped when the run goes on. The journal stays whole throughout.
func TestFullDisk(t *testing.T) {
	disk := &small{room: 4000}
	j, err := createJournal("run.journal", disk, journalHead{Lots: 9})
	require.NoError(t, err)
	c := Config{Child: withFaults(), Dir: t.TempDir(), Workers: 1}
	require.NoError(t, c.check())
	r := &run{Config: c, journal: j, watch: &watch{}}
	add := func(place, size int) error {
		f, err := headed(kindMapped, place, record{Lot: "x"}, make([]byte, size))
		require.NoError(t, err)
		return r.done(f)
	}
	require.NoError(t, add(1, 100))
	for range 2 {
		err = add(2, 1<<20)
		require.ErrorIs(t, err, syscall.ENOSPC)
		require.ErrorContains(t, err, "run.journal: no space left on device; free some space there")
		_, finished := j.finished(2)
		require.False(t, finished)
	}
	require.NoError(t, add(3, 100))
	lots, fails := j.counts()
	require.Equal(t, [2]int{2, 0}, [2]int{lots, fails})
	frames := bufio.NewReader(bytes.NewReader(disk.bytes))
	for err = nil; err == nil; {
		_, _, err = readFrame(frames)
	}
	require.True(t, errors.Is(err, io.EOF), "%v", err)
}

func FuzzJournal(f *testing.F) {
	path, _ := written(f)
	text, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add(text[:60])
	f.Fuzz(func(t *testing.T, text []byte) {
		r := bufio.NewReader(bytes.NewReader(text))
		for {
			frame, _, err := readFrame(r)
			if err != nil {
				return
			}
			var head record
			_ = frame.parseHead(&head)
			_, _ = lotOf(frame)
		}
	})
}

func FuzzGround(f *testing.F) {
	f.Add(appendGround(nil, nil))
	f.Add([]byte{1, 1, 2, 0, 0})
	f.Fuzz(func(t *testing.T, b []byte) {
		ground, err := groundOf(b)
		if err == nil {
			again, err := groundOf(appendGround(nil, ground))
			require.NoError(t, err)
			require.Equal(t, appendGround(nil, ground), appendGround(nil, again))
		}
	})
}
