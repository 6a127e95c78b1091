package parallel

import "sync"

// Once keeps what was made by key, each made by who asks for it first while others
// wait. The zero Once is empty and keeps everything.
type Once[K comparable, V any] struct {
	Most int // it begins anew where it would keep more; 0 for no bound

	mu sync.Mutex
	by map[K]func() (V, error)
}

// Get returns what is kept for a key, made where it is not yet.
func (o *Once[K, V]) Get(key K, make func() (V, error)) (V, error) {
	o.mu.Lock()
	made := o.by[key]
	if made == nil {
		if o.by == nil || o.Most > 0 && len(o.by) >= o.Most {
			o.by = map[K]func() (V, error){}
		}
		made = sync.OnceValues(make)
		o.by[key] = made
	}
	o.mu.Unlock()
	return made()
}
