package rules_test

import (
	"fmt"
	"runtime"
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// history makes the records of a shop with so many checks of the base's bar,
// each device having so many of them, with three readings of one or three
// values each.
func history(tb testing.TB, checks, checksOfADevice int) (*records.Set, time.Time) {
	tb.Helper()
	set, diagnostics := records.Load(base(tb), records.Options{})
	if records.HasErrors(diagnostics) {
		tb.Fatal(diagnostics)
	}
	device, certificates := set.Devices["scan-02"], set.Certificates["scan-02"]
	first := set.Checks["scan-02"][0]
	clear(set.Devices)
	clear(set.Checks)
	path, err := quantity.ParseLength("2.6 m")
	if err != nil {
		tb.Fatal(err)
	}
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		tb.Fatal(err)
	}
	at := time.Date(2026, 10, 6, 12, 0, 0, 0, zone)
	noise := uint32(1)
	jitter := func() float64 { // µm, without the library's generators: the same on every machine
		noise = noise*1664525 + 1013904223
		return float64(noise>>16)/65536*8 - 4
	}
	for n := 0; n < checks; n += checksOfADevice {
		d := *device
		d.ID = fmt.Sprintf("scan-%04d", n/checksOfADevice)
		d.Serial = d.ID
		set.Devices[d.ID] = &d
		set.Certificates[d.ID] = certificates
		for i := range checksOfADevice {
			k := *first
			k.Device = d.ID
			k.Time = at.AddDate(0, 0, i-checksOfADevice).Add(-4 * time.Hour)
			k.Entered = k.Time
			k.File = fmt.Sprintf("checks/%s/%s-bar-weekly.toml", d.ID, k.Time.Format("2006/2006-01-02T1504"))
			a, c := 29.9995, 29.9995
			k.Readings = []records.Reading{
				{Feature: "A", Values: []float64{a + jitter()/1000, a + jitter()/1000, a + jitter()/1000}, Line: 14},
				{Feature: "C", Values: []float64{c + jitter()/1000}, Line: 17},
				{Feature: "A-C", Values: []float64{800.031 + jitter()/1000}, Path: path, Line: 20},
			}
			set.Checks[d.ID] = append(set.Checks[d.ID], &k)
		}
	}
	return set, at
}

// BenchmarkEvaluate reports, beside the usual figures, the time for each check
// and the bytes the assessment keeps for each check.
func BenchmarkEvaluate(b *testing.B) {
	for _, shop := range []struct{ devices, each int }{
		{2, 500}, {20, 500}, {200, 500}, // two years of working days
		{2_000, 50}, // a fleet checked weekly for a year
	} {
		checks := shop.devices * shop.each
		b.Run(fmt.Sprintf("%dx%d", shop.devices, shop.each), func(b *testing.B) {
			set, at := history(b, checks, shop.each)
			var a *rules.Assessment
			b.ReportAllocs()
			b.ResetTimer()
			for b.Loop() {
				a = rules.Evaluate(set, at, rules.Options{})
			}
			b.StopTimer()
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(checks), "ns/check")
			b.ReportMetric(float64(heldBy(&a))/float64(checks), "heldB/check")
			runtime.KeepAlive(set)
		})
	}
}

// heldBy measures how much of the heap only the assessment keeps alive.
func heldBy(a **rules.Assessment) int64 {
	var with, without runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&with)
	*a = nil
	runtime.GC()
	runtime.ReadMemStats(&without)
	return int64(with.HeapAlloc) - int64(without.HeapAlloc)
}

func BenchmarkChartsOf(b *testing.B) {
	set, at := history(b, 500, 500)
	b.ReportAllocs()
	for b.Loop() {
		rules.ChartsOf(set, at, rules.Options{}, "scan-0000")
	}
}

// BenchmarkDoubts looks for the windows of doubt of one device with 500 checks, of which none or the last 50 fail.
func BenchmarkDoubts(b *testing.B) {
	for _, failing := range []int{0, 50} {
		b.Run(fmt.Sprintf("failing=%d", failing), func(b *testing.B) {
			set, at := history(b, 500, 500)
			list := set.Checks["scan-0000"]
			for _, k := range list[len(list)-failing:] {
				k.Readings[2].Values = []float64{800.5}
			}
			for b.Loop() {
				if got := len(rules.Doubts(set, at, rules.Options{}, "scan-0000")); got != min(failing, 1) {
					b.Fatalf("%d windows", got)
				}
			}
		})
	}
}
