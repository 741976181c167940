package records

import (
	"fmt"
	"slices"
	"strings"
)

// checkSite checks what the site says of where scans are kept, and of the
// watcher.
func (c *checker) checkSite(s *Site) {
	switch {
	case s.Scans.Folder != "" && s.Scans.Archive != "":
		c.fault("unknown-key", s.File, in("scans", "archive").named(), "scans are kept in a folder of the repository and in an archive outside", "keep one of the two")
	case s.Scans.Folder != "" && !goodPath(s.Scans.Folder):
		c.fault("bad-path", s.File, in("scans", "folder"), fmt.Sprintf("%q is no path inside the repository", s.Scans.Folder), "write a path from the repository's root, or use archive for a place outside")
	case s.Scans.Folder != "":
		first, _, _ := strings.Cut(s.Scans.Folder, "/")
		if first == "inbox" || strings.HasPrefix(first, ".") || slices.ContainsFunc(Kinds(), func(k KindDoc) bool { return strings.HasPrefix(k.Files, first+"/") }) {
			c.fault("bad-path", s.File, in("scans", "folder"), fmt.Sprintf("%q is for other files than scans", s.Scans.Folder), `choose a folder of its own, for example "scans"`)
		}
	}
	c.checkWatch(s)
}

// scans checks how a check names its scans. None of them needs to be there.
func (c *checker) scans(k *Check) {
	for i := range k.Scans {
		s := &k.Scans[i]
		if !goodPath(s.File) {
			what, mend := "path inside the repository", ""
			if site := c.load.set.Site; site != nil && site.Scans.Archive != "" {
				what, mend = "name below the site's archive of scans", "write the name of the file below "+site.Scans.Archive
			}
			c.fault("bad-path", k.File, row("scan", i).at("file"), fmt.Sprintf("%q is no %s", s.File, what), mend)
		}
		same := func(o ScanFile) bool { return o.SHA256 == s.SHA256 || o.File == s.File }
		if j := slices.IndexFunc(k.Scans[:i], same); j >= 0 {
			c.fault("same-scan", k.File, row("scan", i).at("file"), fmt.Sprintf("scan %d is the same file as scan %d", i+1, j+1), "",
				c.place(k.File, row("scan", j).at("file"), "the other one"))
		}
	}
}

// fits checks how the readings were fitted against readings and scans.
func (c *checker) fits(k *Check, a *Artifact) {
	if len(k.Fits) == 0 {
		return
	}
	if k.Extraction == nil {
		c.fault("missing-key", k.File, row("fit", 0), "fits are recorded, and nothing says which program made them and by which settings", "add [extraction] with program, outliers and radius")
	}
	for i := range k.Scans {
		used := func(f Fit) bool { return f.Scan == i+1 }
		if k.Scans[i].Unit == "" && slices.ContainsFunc(k.Fits, used) {
			c.fault("missing-key", k.File, row("scan", i), fmt.Sprintf("readings were fitted from scan %d, and nothing says in which unit its numbers are", i+1), `add unit = "mm", or what it is`)
		}
	}
	unpaired := map[string]bool{} // features of which something is wrong already
	var features []string
	for i := range k.Fits {
		f := &k.Fits[i]
		if !c.fit(k, a, i) {
			unpaired[f.Feature] = true
		}
		if !slices.Contains(features, f.Feature) {
			features = append(features, f.Feature)
		}
	}
	for _, name := range features {
		if !unpaired[name] {
			c.paired(k, name)
		}
	}
}

// fit checks one fit, and reports whether it can be counted as one of its
// feature.
func (c *checker) fit(k *Check, a *Artifact, i int) bool {
	f, at := &k.Fits[i], row("fit", i)
	feature := c.feature(a, f.Feature, k.File, at.at("feature"))
	if feature == nil {
		return false
	}
	if j := slices.IndexFunc(k.Fits[:i], func(o Fit) bool { return o.Feature == f.Feature && o.Scan == f.Scan }); j >= 0 {
		c.fault("duplicate-feature", k.File, at, fmt.Sprintf("feature %q was fitted twice in scan %d, and nothing says which fit gave the value", f.Feature, f.Scan), "delete one",
			c.place(k.File, row("fit", j), "the first one"))
		return false
	}
	if f.Scan > len(k.Scans) {
		c.fault("unknown-scan", k.File, at.at("scan"), fmt.Sprintf("there is no scan %d, the check has %s", f.Scan, scanCount(len(k.Scans))), "")
		return false
	}
	if !asked(k, a, f.Feature) {
		c.fault("fit-without-reading", k.File, at.at("feature"), fmt.Sprintf("the check has no reading of %q, nor of a distance that ends there", f.Feature), "")
		return false
	}
	sphere := feature.Quantity == Diameter || feature.Quantity == Form
	if sphere && f.Points == 0 {
		c.fault("missing-key", k.File, at, fmt.Sprintf("the fit of %q does not say how many points it kept", f.Feature), "add points")
	}
	if feature.Quantity != Form && f.Uncertainty.IsZero() {
		c.fault("missing-key", k.File, at, fmt.Sprintf("the fit of %q does not state its uncertainty", f.Feature), `add uncertainty = "u = … µm"`)
	}
	return true
}

func scanCount(n int) string {
	switch n {
	case 0:
		return "none"
	case 1:
		return "only 1"
	}
	return fmt.Sprintf("only %d", n)
}

// asked reports whether a feature was read, or is an end of a distance that
// was.
func asked(k *Check, a *Artifact, name string) bool {
	return slices.ContainsFunc(k.Readings, func(r Reading) bool {
		if r.Feature == name {
			return true
		}
		f := a.Feature(r.Feature)
		return f != nil && slices.Contains(f.Between, name)
	})
}

// paired checks that a feature of which fits are recorded has one value and one
// fit from each scan.
func (c *checker) paired(k *Check, name string) {
	n, last := 0, 0
	for i := range k.Readings {
		if k.Readings[i].Feature == name {
			n, last = n+len(k.Readings[i].Values), i
		}
	}
	if n == 0 {
		return // only the end of a distance
	}
	if n != len(k.Scans) {
		c.fault("scans-miscounted", k.File, row("reading", last).at("values"), fmt.Sprintf("feature %q has %s and the check has %s, of which each gives one value", name, count(n, "value"), count(len(k.Scans), "scan")), "")
		return
	}
	for scan := 1; scan <= len(k.Scans); scan++ {
		if k.FitIn(name, scan) == nil {
			c.fault("fit-missing", k.File, row("scan", scan-1), fmt.Sprintf("feature %q has fits, and none in scan %d", name, scan), "")
		}
	}
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
