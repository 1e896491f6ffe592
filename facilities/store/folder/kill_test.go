package folder_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"surgeonward/facilities/disk/disktest"
	"surgeonward/facilities/store"
	"surgeonward/facilities/store/folder"
)

// writerFolder turns the test's program into a writer of a folder.
const writerFolder = "SURGEONWARD_TEST_FOLDER_WRITER"

// writeUntilKilled counts in two files at once and says on the standard output
// which versions are acknowledged.
func writeUntilKilled(dir string) int {
	s, err := folder.Open(dir, options())
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	v, err := s.Current(context.Background())
	for ; err == nil; fmt.Println("kept", v.Number) {
		next := v.Number + 1
		e := store.Edit{Base: v.Number, Entry: store.Entry{Who: "desk-1", Why: text(next)}}
		e.Files = map[string][]byte{fleet: counted(next), settings: counted(next)}
		if next%3 == 0 {
			e.Files[roads] = nil // it is there in every version but each third
			if next%6 == 0 {
				delete(e.Files, roads)
			}
		}
		if next%3 == 1 {
			e.Files[roads] = counted(next)
		}
		v, err = s.Commit(context.Background(), e)
	}
	fmt.Fprintln(os.Stderr, err)
	return 1
}

func text(n int64) string { return fmt.Sprint("number ", n) }

// counted is a content of a few pages that no other number gives.
func counted(n int64) []byte { return bytes.Repeat(fmt.Appendf(nil, "number %d\n", n), 1000) }

// TestKilledWriterLosesNothing kills a writer at random moments and holds the
// folder to every acknowledgement that came before: the version is there, whole, no
// file is torn, and no file says anything but the newest version.
func TestKilledWriterLosesNothing(t *testing.T) {
	kills := disktest.Kills(t, 50)
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	dir := region(t)
	acknowledged, behind := int64(1), 0
	for range kills {
		said := disktest.RunAndKill(t, []string{writerFolder + "=" + dir}, random.IntN(3), time.Duration(random.Int64N(int64(4*time.Millisecond))))
		for _, line := range said {
			var number int64
			_, err := fmt.Sscanf(line, "kept %d", &number)
			require.NoError(t, err, line)
			require.Greater(t, number, acknowledged, "numbers go up")
			acknowledged = number
		}
		found := onDisk(t, dir, fleet)
		s, err := folder.Open(dir, options())
		require.NoError(t, err, "the lock of a killed process holds nobody up")
		require.Empty(t, s.Rejected())
		v := current(t, s)
		require.GreaterOrEqual(t, v.Number, acknowledged)
		require.LessOrEqual(t, v.Number, acknowledged+1, "one more may be kept than was acknowledged")
		if v.Number > 1 { // the first is what lay in the folder
			require.Equal(t, text(v.Number), v.Why, "a crash makes no edit by hand")
		}
		if found != string(v.Content[fleet]) {
			behind++
		}
		for name, content := range v.Content {
			require.Equal(t, string(content), onDisk(t, dir, name))
		}
		acknowledged = v.Number
		require.NoError(t, s.Close())
	}
	s := open(t, dir, options())
	for n := int64(2); n <= acknowledged; n++ {
		v, err := s.At(t.Context(), n)
		require.NoError(t, err)
		require.Equal(t, text(n), v.Why)
		require.Equal(t, string(counted(n)), string(v.Content[fleet]))
		require.Equal(t, string(counted(n)), string(v.Content[settings]))
	}
	t.Logf("%d versions, %d times killed, of which the files were behind %d times", acknowledged, kills, behind)
}
