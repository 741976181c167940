package records

import (
	"io/fs"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"plumbrule/records/source"
)

// MaxFileSize is the size in bytes above which a file in a record's place is
// not read: records are written by people.
const MaxFileSize = 1 << 20

// Options say how a repository is loaded.
type Options struct {
	// At is the instant after which dates lie in the future and are reported;
	// the zero time reports none.
	At time.Time
	// CrossCheck lets the TOML library read every file as well and reports any
	// difference from this package's own reader. It costs several times the
	// time of reading.
	CrossCheck bool
	// Attachments reads the attachments of certificates and reports those that
	// are not what their records say. It costs the time of reading them.
	Attachments bool
}

// Load reads every record of the repository at the root of fsys. It goes on
// after errors and returns all diagnostics at once, sorted by place; of a file
// with more than 50 errors, no record at all, only so many. Records with errors
// are not in the set's lists but in Unreadable.
func Load(fsys fs.FS, options Options) (*Set, []Diagnostic) {
	l := newLoader(fsys, options)
	l.load()
	return l.set, l.list
}

// loader is the state of one load.
type loader struct {
	findings
	fsys    fs.FS
	options Options
	schema  *schema
	second  func([]byte, *source.Document) error // second reading of every file; nil: none

	files     []string        // record files found, sorted
	closed    map[string]bool // files that are not to be opened
	misplaced []string        // .toml files where no record can lie
	others    []string        // files beside records that are none
	disguised map[string]bool // those of them that have a record's name with something around it
	hidden    []string        // hidden files that may be records
	outside   []fs.DirEntry   // what lies beside the records folders
	lost      []string        // folders of records that cannot be read
	attached  map[string]bool // files that records name
	doubtful  map[string]bool // folders with a record of which nothing was understood
	records   []any           // by index of files; nil when nothing was understood
	known     map[string]*ids // by kind of record
	set       *Set

	// What an index knows already; nil where a load finds it out itself.
	peeks   func(string) peeked
	tallies tallies
}

func newLoader(fsys fs.FS, options Options) *loader {
	l := &loader{
		findings: newFindings(), fsys: fsys, options: options, schema: newSchema(),
		closed: map[string]bool{}, disguised: map[string]bool{}, known: map[string]*ids{}, set: newSet(),
	}
	if options.CrossCheck {
		l.second = source.CrossCheck
	}
	return l
}

func (l *loader) load() {
	if l.walk() {
		l.readSite()
		l.readAll()
		l.outOfPlace()
		l.crossCheck()
	}
	SortDiagnostics(l.list)
	l.collect()
	l.set.sort()
}

// readAll reads the files found. Results go into their places by index, so
// that the answer does not depend on which worker was faster.
func (l *loader) readAll() {
	l.records = make([]any, len(l.files))
	readers := inParallel(len(l.files), chunk, l.newReader, func(r *reader, i int) {
		if file := l.files[i]; !l.closed[file] {
			l.records[i] = r.read(file)
		}
	})
	for _, r := range readers {
		l.list = append(l.list, r.list...)
	}
}

// chunk is the number of files a worker takes at a time: enough to make the
// hand-over cheap, few enough to spread the last ones.
const chunk = 64

// inParallel does the work for every index below n, so many at a time, and
// returns the workers.
func inParallel[W any](n, atATime int, newWorker func() W, work func(W, int)) []W {
	workers := make([]W, min(runtime.GOMAXPROCS(0), n/atATime+1))
	var next atomic.Int64
	var wait sync.WaitGroup
	for w := range workers {
		workers[w] = newWorker()
		wait.Go(func() {
			for {
				end := int(next.Add(int64(atATime)))
				if end-atATime >= n {
					return
				}
				for i := end - atATime; i < min(end, n); i++ {
					work(workers[w], i)
				}
			}
		})
	}
	wait.Wait()
	return workers
}

// none is the worker of work that needs none.
func none() struct{} { return struct{}{} }

// collect puts the records without errors into the set and lists the others;
// the diagnostics are sorted.
func (l *loader) collect() {
	first := make(map[string]*Diagnostic)
	for i := range l.list {
		if d := &l.list[i]; d.Severity == Error && first[d.File] == nil {
			first[d.File] = d
		}
	}
	for i, file := range l.files {
		if d := first[file]; d != nil {
			l.set.unreadable(d, l.about(file))
			continue
		}
		l.set.add(l.records[i])
	}
	for _, file := range l.misplaced {
		l.set.unreadable(first[file], l.about(file))
	}
	for _, folder := range l.lost {
		l.set.unreadable(first[folder], l.lostIn(folder))
	}
	if d := first[SiteFile]; d != nil {
		l.set.Site = nil
		l.set.unreadable(d, []place{{kind: "site"}})
	}
}

// understood finds the record at a path, nil when there is none or nothing of
// it was understood.
func (l *loader) understood(file string) (record any, found bool) {
	i, found := slices.BinarySearch(l.files, file)
	if !found {
		return nil, false
	}
	return l.records[i], true
}
