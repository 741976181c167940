package main

// chartTopic explains a kind of chart.
func chartTopic(name string) (topicJSON, bool) {
	for _, d := range kindDocs() {
		if string(d.kind) == name {
			return topicJSON{Name: name, Kind: "kind of chart", Title: d.title, Meaning: d.choose + " " + d.how, Source: d.source}, true
		}
	}
	return topicJSON{}, false
}
