package main

// deviceChartsJSON is the JSON of a device's charts; figures are errors in micrometres.
type deviceChartsJSON struct {
	Device string            `json:"device"`
	At     string            `json:"at"`
	Charts []deviceChartJSON `json:"charts"`
}

type deviceChartJSON struct {
	Procedure string         `json:"procedure"`
	Artifact  string         `json:"artifact"`
	Feature   string         `json:"feature"`
	Quantity  string         `json:"quantity"`
	Unit      string         `json:"unit"`
	Restarts  []restartJSON  `json:"restarts"`
	Checks    []chartedCheck `json:"checks"`
	chartJSON
}

// restartJSON is where a chart begins anew; what is adjusted (the device) or recertified (the artifact).
type restartJSON struct {
	BeforeN int    `json:"before_n"`
	Time    string `json:"time"`
	What    string `json:"what"`
}

type chartedCheck struct {
	N     int     `json:"n"`
	Time  string  `json:"time"`
	File  string  `json:"file"`
	MPEUM float64 `json:"mpe_um"`
}
