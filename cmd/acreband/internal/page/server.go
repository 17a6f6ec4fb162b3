package page

import (
	"context"
	"crypto/rand"
	"embed"
	"errors"
	"html/template"
	"io/fs"
	"log/slog"
	"net/http"
	"slices"
	"time"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

//go:embed static
var static embed.FS

// Server serves the page. It may answer many requests at a time.
type Server struct {
	config   Config
	token    string // that the page shows to change things
	key      string // of the printed address; "" where only this machine is answered
	dir      string // for what lies on disk for a while
	temp     *tempFolder
	hidden   *hidden
	threads  *threads
	bodies   *admission
	atWork   *atWork
	shelf    *shelf
	tray     *tray
	backdrop *backdrop
	fetching fetching
	index    *template.Template
	swatches [][]byte // PNG images, by band
	log      *slog.Logger
	plan     func(*mapping.Ground, *zoning.ZoneMap, *plan.Book, plan.Cover) (*plan.Plan, error)
	soon     time.Duration // before work tells its progress
	stop     context.CancelFunc
}

// New makes a server and looks through its elevation. Close it after use.
func New(c Config) (*Server, error) {
	if err := c.Fleet.Check(); err != nil {
		return nil, err
	}
	if err := c.Judge.Units.Check(); err != nil {
		return nil, err
	}
	if c.Child == nil {
		return nil, errors.New("no process is given that reads uploads: set Child")
	}
	c.Limits = c.Limits.or(DefaultLimits())
	if c.Outputs == nil {
		c.Outputs = Outputs()
	}
	c.Outputs = append(slices.Clone(c.Outputs), drawn)
	if c.Log == nil {
		c.Log = slog.Default()
	}
	c.Raster.MostCells = c.Limits.Cells
	index, err := template.ParseFS(static, "static/index.html")
	if err != nil {
		return nil, err
	}
	swatches, err := swatchesOf(c.Fleet)
	if err != nil {
		return nil, err
	}
	back, err := newBackdrop(c.Elevation, c.Raster)
	if err != nil {
		return nil, err
	}
	temp, err := newTempFolder(c.Log)
	if err != nil {
		back.close()
		return nil, err
	}
	ctx, stop := context.WithCancel(context.Background())
	s := &Server{
		config: c, token: rand.Text(), dir: temp.path, temp: temp, hidden: newHidden(c.Elevation, back.catalogue.Entries(), temp.path),
		log: c.Log, index: index, swatches: swatches, backdrop: back, plan: plan.ForMap, soon: soon, stop: stop,
		threads: newThreads(c.Limits.Workers, c.Limits.Waiting), shelf: newShelf(c.Limits), tray: newTray(c.Limits),
		bodies: &admission{left: c.Limits.BodyBytes}, atWork: newAtWork(c.Limits),
	}
	if c.AnyAddress {
		s.key = rand.Text()
	}
	if c.Raster.Fetch != nil {
		c.Raster.Fetch.TellTo(s.fetching.fetched)
	}
	go s.forget(ctx)
	return s, nil
}

// Close ends the server's threads, forgets its maps and removes what it left on disk.
func (s *Server) Close() {
	s.stop()
	s.threads.stop()
	s.backdrop.close()
	s.tray.empty()
	if err := s.temp.remove(); err != nil {
		s.log.Error("the folder for uploads stays", "error", err)
	}
}

// forget looks for maps that are too old.
func (s *Server) forget(ctx context.Context) {
	every := time.NewTicker(max(min(s.config.Limits.Idle, afterLeaving)/4, time.Second))
	defer every.Stop()
	for {
		select {
		case <-every.C:
			s.shelf.sweep()
			s.tray.sweep()
		case <-ctx.Done():
			return
		}
	}
}

// Handler answers the requests of the package's documentation.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.page)
	files, err := fs.Sub(static, "static")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	mux.Handle("GET /static/", http.StripPrefix("/static/", http.FileServerFS(noFolders{files})))
	mux.HandleFunc("GET /v1/start", s.start)
	mux.HandleFunc("GET /v1/relief.png", s.relief)
	mux.HandleFunc("GET /v1/swatches/{band}", s.swatch)
	mux.HandleFunc("POST /v1/files", s.newFile)
	mux.HandleFunc("DELETE /v1/files/{id}", s.removeFile)
	mux.HandleFunc("GET /v1/files/{id}/start", s.fileStart)
	mux.HandleFunc("GET /v1/files/{id}/relief.png", s.fileRelief)
	mux.HandleFunc("GET /v1/files/{id}/above/{other}", s.above)
	mux.HandleFunc("POST /v1/maps", s.newMap)
	mux.HandleFunc("POST /v1/maps/{id}", s.change)
	mux.HandleFunc("DELETE /v1/maps/{id}", s.remove)
	mux.HandleFunc("GET /v1/maps/{id}/ground.png", s.groundView)
	mux.HandleFunc("GET /v1/maps/{id}/spot", s.spot)
	mux.HandleFunc("GET /v1/maps/{id}/section", s.section)
	mux.HandleFunc("GET /v1/maps/{id}/lines", s.lines)
	mux.HandleFunc("GET /v1/maps/{id}/curve", s.curve)
	mux.HandleFunc("GET /v1/maps/{id}/covers", s.covers)
	mux.HandleFunc("GET /v1/maps/{id}/files/{name}", s.file)
	return s.guard(mux)
}

// noFolders is files without folders, which a file server would list.
type noFolders struct{ fs.FS }

func (f noFolders) Open(name string) (fs.File, error) {
	info, err := fs.Stat(f.FS, name)
	if err == nil && info.IsDir() {
		err = fs.ErrNotExist
	}
	if err != nil {
		return nil, err
	}
	return f.FS.Open(name)
}

// page answers with the page, which carries the token.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	err := s.index.Execute(w, struct{ Token, Formats, Keeps string }{s.token, formatsTaken, s.keeps()})
	if err != nil {
		s.log.Error("the page could not be written", "error", err)
	}
}

// keeps says where files stay that are dropped.
func (s *Server) keeps() string {
	if s.config.AnyAddress {
		return "Files stay on the machine that serves this page, and are gone when you leave it."
	}
	return "Files stay on this machine, and the page forgets them when you leave it."
}

// remove forgets a map.
func (s *Server) remove(w http.ResponseWriter, r *http.Request) {
	s.shelf.remove(r.PathValue("id"))
	w.WriteHeader(http.StatusNoContent)
}
