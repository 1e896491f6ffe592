package job

import (
	"fmt"
	"maps"
	"slices"
	"sync"
)

// store keeps jobs. Its methods are called for one job by one goroutine at a time.
type store interface {
	// add keeps a new job with its request, for good once it returns.
	add(j Job, request []byte) error
	// save keeps what has become of a job.
	save(j Job) error
	request(id string) ([]byte, error)
	put(id string, f File) error
	get(id, name string) ([]byte, error)
	// strip forgets all results of a job.
	strip(id string) error
	// drop forgets a job and all that belongs to it, also what of it is there by halves.
	drop(j Job) error
	// load returns the jobs that are kept, and a description of all that cannot be read.
	load() ([]Job, []string, error)
	close() error
}

// memory is a store that ends with the process.
type memory struct {
	mu      sync.Mutex
	asked   map[string][]byte
	results map[string]map[string][]byte
}

func newMemory() *memory {
	return &memory{asked: map[string][]byte{}, results: map[string]map[string][]byte{}}
}

func (m *memory) add(j Job, request []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.asked[j.ID] = slices.Clone(request)
	return nil
}

func (m *memory) save(j Job) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if j.State.Over() {
		delete(m.asked, j.ID)
	}
	return nil
}

func (m *memory) request(id string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.asked[id], nil
}

func (m *memory) put(id string, f File) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	files := maps.Clone(m.results[id])
	if files == nil {
		files = map[string][]byte{}
	}
	files[f.Name] = f.Content
	m.results[id] = files
	return nil
}

func (m *memory) get(id, name string) ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	content, ok := m.results[id][name]
	if !ok {
		return nil, fmt.Errorf("%w: the result %s", ErrNotFound, name)
	}
	return content, nil
}

func (m *memory) strip(id string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.results, id)
	return nil
}

func (m *memory) drop(j Job) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.asked, j.ID)
	delete(m.results, j.ID)
	return nil
}

func (m *memory) load() ([]Job, []string, error) { return nil, nil, nil }
func (m *memory) close() error                   { return nil }
