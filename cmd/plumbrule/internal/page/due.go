package page

import (
	"fmt"
	"time"

	"plumbrule/records/calendar"
)

// monthsAhead is how many months beside the present one the calendar shows.
const monthsAhead = 12

// dueCalendar is what falls due, by months.
type dueCalendar struct {
	Today  string
	Now    []dutyRow // overdue, never done, asked for at once
	Months []dueMonth
	Later  int // due after the last month
}

// dueMonth is a month with its days as rows of weeks.
type dueMonth struct {
	ID, Name string
	Weeks    [][7]dueDay
	Rows     []dutyRow
}

// dueDay is a day of a month; Day is 0 for one of the month before or after.
type dueDay struct {
	Day, Count int
	To         string // address of the first row of that day
	Today      bool
}

type dutyRow struct {
	ID            string // address within the page; only the first row of a day has one
	Date, Weekday string
	Left          string // days left
	Subject, What string
	Address       string // of the subject's page; empty: it has none
	State         mark
	Place         string
}

func (d dueCalendar) title() string { return "Due" }
func (d dueCalendar) here() string  { return "/due" }
func (d dueCalendar) same() string  { return "/due.json" }

func dueOf(e *edition) dueCalendar {
	today := e.today()
	out := dueCalendar{Today: today.String()}
	byMonth := map[calendar.Date][]duty{}
	last := calendar.Date{Year: today.Year, Month: today.Month + monthsAhead, Day: 1}
	last = calendar.Of(last.StartIn(time.UTC), time.UTC)
	for _, d := range duties(e.View) {
		m := month(d.Due.Date)
		switch late := dueDateOf(d.Due).Class == "late"; {
		case late || d.Due.Date.Before(today):
			out.Now = append(out.Now, dutyRowOf(d))
		case m.After(last):
			out.Later++
		default:
			byMonth[m] = append(byMonth[m], d)
		}
	}
	for m := month(today); !m.After(last); m = m.MonthEnd().AddDays(1) {
		if list := byMonth[m]; len(list) > 0 {
			out.Months = append(out.Months, dueMonthOf(m, today, list))
		}
	}
	return out
}

func dutyRowOf(d duty) dutyRow {
	due := dueDateOf(d.Due)
	row := dutyRow{Date: due.Date, Subject: d.Subject, What: d.Due.What, State: due.mark, Place: d.Place}
	if due.Date != "" {
		row.Weekday = d.Due.Date.Weekday().String()[:3]
		switch {
		case d.Days < 0:
			row.Left = counted(-d.Days, "day") + " ago"
		case d.Days == 0:
			row.Left = "today"
		default:
			row.Left = "in " + counted(d.Days, "day")
		}
	}
	if d.Kind == "device" {
		row.Address = deviceAddress(d.Subject)
	}
	return row
}

func dueMonthOf(m, today calendar.Date, list []duty) dueMonth {
	out := dueMonth{ID: fmt.Sprintf("month-%04d-%02d", m.Year, m.Month), Name: fmt.Sprintf("%s %d", m.Month, m.Year)}
	counts := map[int]int{}
	for _, d := range list {
		row := dutyRowOf(d)
		counts[d.Due.Date.Day]++
		if counts[d.Due.Date.Day] == 1 {
			row.ID = "day-" + d.Due.Date.String()
		}
		out.Rows = append(out.Rows, row)
	}
	const mondayFirst = 6 // days by which a week that begins on Monday is turned against [time.Weekday]
	column := (int(m.Weekday()) + mondayFirst) % 7
	week := [7]dueDay{}
	for day := 1; day <= m.MonthEnd().Day; day++ {
		date := calendar.Date{Year: m.Year, Month: m.Month, Day: day}
		week[column] = dueDay{Day: day, Count: counts[day], Today: date == today}
		if counts[day] > 0 {
			week[column].To = "#day-" + date.String()
		}
		if column++; column == 7 || date == m.MonthEnd() {
			out.Weeks = append(out.Weeks, week)
			week, column = [7]dueDay{}, 0
		}
	}
	return out
}
