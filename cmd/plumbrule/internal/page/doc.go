// Package page serves what is known of a fleet to browsers, calendars and monitoring: a status page for people, the same as JSON,
// metrics, a calendar of due dates, and whether the watcher is alive. It reads snapshots and changes nothing.
//
// Text of records is foreign. It is never trusted: people see it spelled out, shortened and set apart from what the page says itself.
package page
