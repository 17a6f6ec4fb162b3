package fetch

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"time"
)

// store is a folder of what was fetched. What is missing, damaged or cannot be written there is as if it had never been fetched.
//
// Each address, or question, has a folder of its own: "about" tells what it is, and when it was used last by its own time; "body" is a
// whole answer; pages of a file lie in a folder below, named for its size and validator. All of them end with their CRC-32.
type store struct {
	dir  string
	most int64

	mu      sync.Mutex
	written int64 // since the folder was measured
	known   int64 // bytes in it then; 0 before
}

// Kinds of what is kept.
const (
	KindAnswer = "answer"
	KindFile   = "file"
)

// About tells what is kept of one address.
type About struct {
	Kind      string    `json:"kind"` // [KindAnswer] or [KindFile]
	Address   string    `json:"address"`
	Size      int64     `json:"size"`                // of the whole, in bytes
	Validator string    `json:"validator,omitempty"` // ETag or date that the server tells of the file
	Fetched   time.Time `json:"fetched"`             // first, of this size and validator
	Checked   time.Time `json:"checked"`             // when the server was asked last whether it is still the same
}

// kept is one address's folder.
type kept struct {
	store *store
	path  string // "" where nothing is kept
	About About
}

func (s *store) open(name string) *kept {
	e := &kept{store: s}
	if s.dir == "" {
		return e
	}
	e.path = filepath.Join(s.dir, "kept", fmt.Sprintf("%x", sha256.Sum256([]byte(name)))[:32])
	if data, ok := readSealed(filepath.Join(e.path, "about")); ok {
		_ = json.Unmarshal(data, &e.About) // sealed: it is as it was written
	}
	return e
}

func (s *store) answer(q Question) *kept {
	return s.open(q.Method + "\n" + q.Address + "\n" + q.Type + "\n" + q.Accept + "\n" + string(q.Body))
}

func (s *store) file(address string) *kept { return s.open("file\n" + address) }

// use marks what is kept as used now, so that it is not the oldest.
func (e *kept) use() {
	if e.path != "" {
		now := time.Now()
		_ = os.Chtimes(filepath.Join(e.path, "about"), now, now)
	}
}

func (e *kept) body() ([]byte, bool) {
	if e.path == "" || e.About.Kind != KindAnswer {
		return nil, false
	}
	body, ok := readSealed(filepath.Join(e.path, "body"))
	return body, ok && int64(len(body)) == e.About.Size
}

func (e *kept) writeBody(body []byte) {
	if e.path != "" && e.write("body", body) == nil {
		_ = e.writeAbout()
	}
}

func (e *kept) writeAbout() error {
	data, err := json.Marshal(e.About)
	if err != nil {
		return err
	}
	return e.write("about", data)
}

// edition is the folder of the pages of a file of one size and validator.
func (e *kept) edition() string {
	return fmt.Sprintf("%x", sha256.Sum256([]byte(strconv.FormatInt(e.About.Size, 10)+"\n"+e.About.Validator)))[:16]
}

func (e *kept) page(n int64) ([]byte, bool) {
	if e.path == "" {
		return nil, false
	}
	return readSealed(filepath.Join(e.path, e.edition(), strconv.FormatInt(n, 10)))
}

func (e *kept) writePage(n int64, data []byte) {
	if e.path != "" {
		_ = e.write(filepath.Join(e.edition(), strconv.FormatInt(n, 10)), data)
	}
}

// forgetOthers removes the pages of other editions.
func (e *kept) forgetOthers() {
	if e.path == "" {
		return
	}
	within, _ := os.ReadDir(e.path)
	for _, d := range within {
		if d.IsDir() && d.Name() != e.edition() {
			_ = os.RemoveAll(filepath.Join(e.path, d.Name()))
		}
	}
}

func (e *kept) forget() {
	if e.path != "" {
		_ = os.RemoveAll(e.path)
	}
}

// write writes a file below the entry's folder, whole or not at all.
func (e *kept) write(name string, data []byte) error {
	path := filepath.Join(e.path, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".part-*")
	if err != nil {
		return err
	}
	_, err = f.Write(binary.LittleEndian.AppendUint32(data[:len(data):len(data)], crc32.ChecksumIEEE(data)))
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	e.store.wrote(int64(len(data)))
	return nil
}

func readSealed(path string) ([]byte, bool) {
	data, err := os.ReadFile(path)
	n := len(data) - 4
	if err != nil || n < 0 || crc32.ChecksumIEEE(data[:n]) != binary.LittleEndian.Uint32(data[n:]) {
		return nil, false
	}
	return data[:n:n], true
}
