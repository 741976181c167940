package history

// Kind is what a commit did to a file.
type Kind string

// What a commit does to a file.
const (
	Added   Kind = "added"
	Changed Kind = "changed"
	Renamed Kind = "renamed" // also changed, where Old and New differ
	Removed Kind = "removed"
)

// Manner is how a merge did it. What it merely takes over from one side, because
// the other did not touch it, is no change of the merge's.
type Manner string

// How a change came about.
const (
	Plain     Manner = ""          // in an ordinary commit
	Itself    Manner = "itself"    // the merge did what no side had done
	Both      Manner = "both"      // both sides had changed the file, and the merge combined the changes
	Chosen    Manner = "chosen"    // both sides had changed the file, and the merge took one side's
	Discarded Manner = "discarded" // one side had changed the file, and the merge took the other side's all the same
)

// Change is what one commit did to one file.
type Change struct {
	Kind   Kind
	Manner Manner
	Commit int    // index into the commits of the [Log]
	Path   string // after the commit; before it, where the file was removed
	From   string // path before a rename, else empty
	Old    string // object before; empty where there was none. Of several parents that of the one looked at
	New    string // object after; empty where there is none
	// Irregular is that afterwards no ordinary file is there but a symbolic link or a repository of its own.
	Irregular bool
}

// File is the history of one file under all the paths it had.
type File struct {
	Path    string   // where it lies in the commit looked at, or lay last
	Object  string   // what it holds there; empty where it is no longer there
	Changes []Change // oldest first; of commits side by side, the earlier by its date
}

// First returns the change by which the file came to be. It is nil only where the
// past is not known.
func (f *File) First() *Change {
	if len(f.Changes) == 0 {
		return nil
	}
	return &f.Changes[0]
}

// Afterwards returns what happened to the file after it was added: changes,
// renames and removals. That two sites added the same content is no change.
func (f *File) Afterwards() []Change {
	var out []Change
	for i, c := range f.Changes {
		if i == 0 || c.Kind == Added && c.New == f.Changes[i-1].New {
			continue
		}
		out = append(out, c)
	}
	return out
}
