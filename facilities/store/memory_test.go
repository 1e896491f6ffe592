package store_test

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/facilities/store"
	"surgeonward/facilities/store/storetest"
)

func TestMemory(t *testing.T) {
	storetest.Run(t, func(t *testing.T, g storetest.Given) func() store.Store {
		files := maps.Clone(g.Files)
		for _, name := range g.Names {
			if _, there := files[name]; !there {
				files[name] = nil
			}
		}
		s, err := store.Memory(files, g.Check, g.Now)
		require.NoError(t, err)
		return func() store.Store { return s.Open() }
	})
}

func TestMemoryOfUnusableFiles(t *testing.T) {
	_, err := store.Memory(map[string][]byte{"settings.json": []byte("{}")}, storetest.Check, nil)
	var invalid *store.InvalidError
	require.ErrorAs(t, err, &invalid)
	assert.Len(t, invalid.Faults, 1)
	assert.EqualError(t, err, "the files cannot be used: fleet.json: the file is missing: add it")
	_, err = store.Memory(nil, nil, nil)
	require.ErrorIs(t, err, store.ErrEdit)
}

func TestMemorySaysThatEditsAreLost(t *testing.T) {
	s, err := store.Memory(map[string][]byte{"settings.json": []byte("{}")}, nil, nil)
	require.NoError(t, err)
	assert.Contains(t, s.String(), "lost when the program ends")
}
