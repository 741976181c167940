package page

import (
	"fmt"
	"io"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

// large is a view of 2 000 devices in 40 places with 100 000 records, made from those of the example.
func large(tb testing.TB) *View {
	tb.Helper()
	v := example(tb)
	set, a := *v.Set, *v.Assessment
	some, checks := a.Devices, v.Set.Checks["scan-02"]
	a.Devices, set.Devices, set.Checks = nil, map[string]*records.Device{}, map[string][]*records.Check{}
	for i := range 2000 {
		d := some[i%len(some)]
		if i%20 > 0 && d.Fitness != rules.Fit { // most are fit
			d = some[len(some)-1]
		}
		d.ID = fmt.Sprintf("device-%04d", i)
		d.Service.Location = fmt.Sprintf("hall %d, stand %d", i%4, i%10)
		a.Devices = append(a.Devices, d)
		set.Devices[d.ID] = d.Record
		for len(set.Checks[d.ID]) < 49 {
			set.Checks[d.ID] = append(set.Checks[d.ID], checks[len(set.Checks[d.ID])%len(checks)])
		}
	}
	v.Set, v.Assessment, v.Data, v.Alerts = &set, &a, data{&a}, alertsFor(&a)
	v.Health.Records = set.Count()
	return v
}

// BenchmarkShow is what a new view of 2 000 devices costs until readers see it.
func BenchmarkShow(b *testing.B) {
	v := large(b)
	s, err := New(Settings{Clock: &clock{at: noon()}})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		display(b, s, v)
	}
}

// BenchmarkAnswers asks for pages 200 times a second for 5 s and reports how long answers took: while one view stands, and while
// another comes each second, whose drawing takes the processors that readers wait for. The aim is at most 20 ms at the 99th
// percentile with 100 000 records and 2 000 devices.
//
//	go test -run '^$' -bench Answers -benchtime 1x ./cmd/plumbrule/internal/page
func BenchmarkAnswers(b *testing.B) {
	v := large(b)
	b.Run("one-view", func(b *testing.B) { answers(b, v, false) })
	b.Run("view-each-second", func(b *testing.B) { answers(b, v, true) })
}

func answers(b *testing.B, v *View, changing bool) {
	b.Helper()
	s, web, _ := serve(b, v)
	client := http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64, DisableCompression: true}}
	paths := []string{"/", "/", "/due", "/alerts", "/places", "/metrics", "/healthz", "/calendar.ics", "/style.css"}
	var mu sync.Mutex
	var took []time.Duration
	for b.Loop() {
		took = nil
		var wait sync.WaitGroup
		tick := time.NewTicker(5 * time.Millisecond)
		for i := range 1000 {
			<-tick.C
			if changing && i%200 == 100 {
				another := *v
				another.At = v.At.Add(time.Duration(i) * time.Second)
				s.Show(&another)
			}
			path := paths[i%len(paths)]
			if i%3 == 0 {
				path = fmt.Sprintf("/device/device-%04d", i*7%2000)
			}
			wait.Go(func() {
				start := time.Now()
				request, err := http.NewRequest(http.MethodGet, web.URL+path, nil)
				if err != nil {
					b.Error(err)
					return
				}
				request.Header.Set("Accept-Encoding", "gzip")
				answer, err := client.Do(request)
				if err != nil {
					b.Error(err)
					return
				}
				_, err = io.Copy(io.Discard, answer.Body)
				answer.Body.Close()
				if err != nil || answer.StatusCode != http.StatusOK {
					b.Errorf("%s: %s, %v", path, answer.Status, err)
				}
				mu.Lock()
				defer mu.Unlock()
				took = append(took, time.Since(start))
			})
		}
		wait.Wait()
		tick.Stop()
	}
	slices.Sort(took)
	ms := func(share float64) float64 {
		return float64(took[int(share*float64(len(took)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(ms(0.5), "p50-ms")
	b.ReportMetric(ms(0.99), "p99-ms")
	b.ReportMetric(ms(1), "max-ms")
	b.ReportMetric(float64(v.Set.Count()), "records")
}
