package scenarios

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

//go:embed files
var embedded embed.FS

// Document is one file as it was read: enough to read it again elsewhere, such
// as from inside a recording.
type Document struct {
	Kind Kind   `json:"kind"`
	Name string `json:"name"` // by which other files refer to it
	File string `json:"file"` // where it came from, for faults
	Text []byte `json:"text"`

	near fs.FS // the folder it lies in, nil for one that does not lie on a disk or a shelf
}

// Finder finds files by kind and name. A missing file is fs.ErrNotExist; one
// that is too large is refused before it is read whole.
type Finder interface {
	Find(kind Kind, name string) (Document, error)
}

// Catalogue finds the files that are built into the program.
func Catalogue() Finder { return shelf{fs: embedded, root: "files"} }

// Names lists the built-in files of a kind in order.
func Names(kind Kind) []string {
	entries, err := fs.ReadDir(embedded, path.Join("files", formatOf(kind).dir))
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok {
			names = append(names, name)
		}
	}
	slices.Sort(names) // files sort by their ends too, names do not
	return names
}

// shelf is a tree of files laid out like the catalogue.
type shelf struct {
	fs   fs.FS
	root string
}

func (s shelf) Find(kind Kind, name string) (Document, error) {
	f := formatOf(kind)
	if f == nil || !nameForm.MatchString(name) {
		return Document{}, fmt.Errorf("no %s can be called %q: %w", kind, name, fs.ErrNotExist)
	}
	at := path.Join(s.root, f.dir, name+".yaml")
	file, err := s.fs.Open(at)
	if err != nil {
		return Document{}, err
	}
	defer file.Close()
	folder, err := fs.Sub(s.fs, path.Dir(at))
	if err != nil {
		return Document{}, err
	}
	return readDocument(file, Document{Kind: kind, Name: name, File: path.Join(f.dir, name+".yaml"), near: folder})
}

// errTooLarge is what readDocument returns for a file above MaxSize.
var errTooLarge = errors.New("the file is too large")

func readDocument(r io.Reader, d Document) (Document, error) {
	text, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err == nil && len(text) > MaxSize {
		err = errTooLarge
	}
	d.Text = text
	return d, err
}

// Files finds files in a tree of fsys laid out like the catalogue: folders
// scenarios, craft, rooms, laws, procedures, scripts and courses.
func Files(fsys fs.FS) Finder { return shelf{fs: fsys, root: "."} }

// Disk finds files on disk before it looks into the catalogue. A name with a
// slash or ending in .yaml is the path of a file. Any other name is looked for
// in dir, laid out like the catalogue.
func Disk(dir string) Finder { return disk{dir: dir} }

type disk struct{ dir string }

func (d disk) Find(kind Kind, name string) (Document, error) {
	if IsPath(name) {
		return openFile(kind, name)
	}
	if d.dir != "" {
		doc, err := Files(os.DirFS(d.dir)).Find(kind, name)
		if err == nil {
			doc.File = filepath.Join(d.dir, doc.File)
		}
		if err == nil || !errors.Is(err, fs.ErrNotExist) {
			return doc, err
		}
	}
	return Catalogue().Find(kind, name)
}

// chain asks several finders in turn. Paths go to the first alone.
type chain struct {
	paths Finder
	names []Finder
}

func (c chain) Find(kind Kind, name string) (Document, error) {
	if IsPath(name) {
		return c.paths.Find(kind, name)
	}
	var doc Document
	var err error
	for _, f := range c.names {
		if doc, err = f.Find(kind, name); err == nil || !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	return doc, err
}

// around returns a finder that looks around the file called name before it asks
// find, where name is a path: beside it, then there and in the folder above, laid
// out like the catalogue.
func around(find Finder, name string) Finder {
	if !IsPath(name) {
		return find
	}
	dir := filepath.Dir(name)
	return chain{Disk(""), []Finder{beside(dir), Files(os.DirFS(dir)), Files(os.DirFS(filepath.Dir(dir))), find}}
}

// beside finds a file by its name in the folder itself, where it is of the kind
// asked for.
type beside string

func (dir beside) Find(kind Kind, name string) (Document, error) {
	if !nameForm.MatchString(name) {
		return Document{}, fmt.Errorf("no %s can be called %q: %w", kind, name, fs.ErrNotExist)
	}
	doc, err := openFile(kind, filepath.Join(string(dir), name+".yaml"))
	if err != nil {
		return Document{}, err
	}
	if says, _ := Check(doc.File, doc.Text); says != "" && says != kind {
		return Document{}, fmt.Errorf("%s is a %s: %w", doc.File, says, fs.ErrNotExist)
	}
	return doc, nil
}

// IsPath tells whether name is the path of a file and not a name of the
// catalogue.
func IsPath(name string) bool {
	return strings.ContainsAny(name, `/\`) || strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml")
}

// BaseName returns the name that a file has in a bundle when it is asked for by
// name, which may be a path.
func BaseName(name string) string {
	if !IsPath(name) {
		return name
	}
	base := filepath.Base(name)
	return strings.TrimSuffix(base, filepath.Ext(base))
}

func openFile(kind Kind, name string) (Document, error) {
	file, err := os.Open(name)
	if err != nil {
		return Document{}, err
	}
	defer file.Close()
	return readDocument(file, Document{Kind: kind, Name: BaseName(name), File: name, near: os.DirFS(filepath.Dir(name))})
}

// documents finds files among those of a recording.
type documents []Document

func (d documents) Find(kind Kind, name string) (Document, error) {
	for _, doc := range d {
		if doc.Kind == kind && doc.Name == name {
			return doc, nil
		}
	}
	return Document{}, fmt.Errorf("no %s called %q: %w", kind, name, fs.ErrNotExist)
}
