package main

import (
	"fmt"
	"strings"

	"plumbrule/rules/conformity"
)

// profileTopic explains a test profile with its parameters.
func profileTopic(name string) (topicJSON, bool) {
	for _, d := range conformity.Profiles() {
		if string(d.Profile) == name {
			return topicJSON{Name: name, Kind: "test profile", Title: d.Title, Meaning: d.Text + " " + profileParameters(&d), Source: d.Origin()}, true
		}
	}
	return topicJSON{}, false
}

// profileParameters writes the parameters of a test in a sentence.
func profileParameters(d *conformity.ProfileDoc) string {
	parts := []string{"Judged for " + d.Quantity + ", errors of either sign"}
	if d.OneSided {
		parts[0] = "Judged for " + d.Quantity + ", from above only"
	}
	if d.Probing != "" {
		parts = append(parts, string(d.Probing))
	}
	if d.NeedsPath {
		parts = append(parts, "the reading states the path travelled")
	}
	points := map[conformity.Sampling]string{
		conformity.Selected25Points: "25 selected points count", conformity.AllPoints: "all points kept count", conformity.Points95: "95 % of the points count",
	}[d.Sampling]
	parts = append(parts, points)
	if d.Sampling != conformity.Selected25Points {
		parts = append(parts, fmt.Sprintf("at least %d on a sphere", d.LeastPoints))
	}
	if d.MostCut > 0 {
		parts = append(parts, fmt.Sprintf("at most %.3g %% of them cut", 100*d.MostCut))
	}
	if d.FreeRadius {
		parts = append(parts, "the radius is fitted")
	}
	return strings.Join(parts, "; ") + ". A procedure may ask other figures in [extraction]; explain of a device shows which hold and who set them."
}
