package alert

import "strings"

// Find returns the key of the alert that stands and has the id, or the beginning
// of one that no other has. Ids are what messages show.
func Find(list []Alert, id string) (Key, bool) {
	var found []Key
	for i := range list {
		if a := &list[i]; a.Cleared.IsZero() && id != "" && strings.HasPrefix(a.ID, strings.ToLower(id)) {
			found = append(found, a.Key)
		}
	}
	if len(found) != 1 {
		return Key{}, false
	}
	return found[0], true
}
