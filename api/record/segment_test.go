package record_test

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api/record"
)

// segmentText records some answers and returns the text of the one segment.
func segmentText(t testing.TB, n int) (dir string, ids []string, text []byte) {
	t.Helper()
	dir = t.TempDir()
	s, _, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	for i := range n {
		ids = append(ids, keep(t, s, sample(i)))
	}
	require.NoError(t, s.Fact(t.Context(), ids[0], "load", evening))
	require.NoError(t, s.Close())
	text, err = os.ReadFile(firstSegment(dir))
	require.NoError(t, err)
	return dir, ids, text
}

// smallText is the text of an answer and a fact, as short as they can be.
func smallText(t testing.TB) []byte {
	t.Helper()
	dir := t.TempDir()
	s, _, err := record.Open(dir, record.Options{Now: clock})
	require.NoError(t, err)
	id := keep(t, s, record.AnswerRecord{Asked: "x", At: evening, MadeAt: evening, Request: []byte("1"), Answer: []byte("1")})
	require.NoError(t, s.Fact(t.Context(), id, "x", evening))
	require.NoError(t, s.Close())
	text, err := os.ReadFile(firstSegment(dir))
	require.NoError(t, err)
	return text
}

func firstSegment(dir string) string { return filepath.Join(dir, "segments", "000000000001.jsonl") }

func TestChecksumIsCastagnoli(t *testing.T) {
	for _, test := range []struct {
		source string
		text   []byte
		want   string
	}{
		{"check value of CRC-32C in catalogues of checksums, from memory", []byte("123456789"), "e3069283"},
		{"RFC 3720 B.4, 32 bytes of zeros, from memory", make([]byte, 32), "8a9136aa"},
		{"RFC 3720 B.4, 32 bytes of ones, from memory", bytes.Repeat([]byte{0xff}, 32), "62a8ab43"},
	} {
		assert.Equal(t, `{"format":1,"crc32c":"`+test.want+`",`, string(record.Seal(test.text)[:record.BodyFrom]), test.source)
	}
	_, _, text := segmentText(t, 2)
	for line := range bytes.Lines(text) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		from := bytes.Index(line, []byte(`"record":`))
		sum := fmt.Sprintf("%08x", crc32.Checksum(line[from:], crc32.MakeTable(crc32.Castagnoli)))
		assert.True(t, bytes.HasPrefix(line, []byte(`{"format":1,"crc32c":"`+sum+`",`)), "%.60s", line)
	}
}

func TestTornTail(t *testing.T) {
	original, ids, text := segmentText(t, 3)
	require.NotEmpty(t, original)
	lines := bytes.SplitAfter(text, []byte("\n"))
	whole := len(text) - len(lines[2]) - len(lines[3])
	random := rand.New(rand.NewPCG(1, 2))
	for _, tail := range []int{1, 20, random.IntN(len(lines[2])), len(lines[2]) - 1} {
		t.Run(fmt.Sprint(tail, " bytes"), func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Mkdir(filepath.Join(dir, "segments"), 0o700))
			require.NoError(t, os.WriteFile(firstSegment(dir), text[:whole+tail], 0o600))

			r, report, err := record.OpenReadOnly(dir)
			require.NoError(t, err)
			torn := record.Torn{Segment: "000000000001.jsonl", Offset: int64(whole), Length: int64(tail)}
			assert.Equal(t, []record.Torn{torn}, report.Torn)
			assert.Contains(t, report.Sentences()[0], "left as it is")
			_, err = r.Get(ids[1])
			require.NoError(t, err)
			after, err := os.ReadFile(firstSegment(dir))
			require.NoError(t, err)
			assert.Len(t, after, whole+tail, "reading changes nothing")

			s, report, err := record.Open(dir, record.Options{})
			require.NoError(t, err)
			torn.KeptAs = fmt.Sprintf("000000000001.jsonl.at-%d.torn", whole)
			assert.Equal(t, []record.Torn{torn}, report.Torn)
			assert.Empty(t, report.Damaged)
			aside, err := os.ReadFile(filepath.Join(dir, "segments", torn.KeptAs))
			require.NoError(t, err)
			assert.Equal(t, text[whole:whole+tail], aside)
			id := keep(t, s, sample(9))
			assert.Greater(t, id, ids[2], "the number of the half line is not used again")
			require.NoError(t, s.Close())

			s, report, err = record.Open(dir, record.Options{})
			require.NoError(t, err)
			assert.Empty(t, report.Sentences())
			assert.Equal(t, 3, report.Records)
			rec, err := s.Get(id)
			require.NoError(t, err)
			equal(t, sample(9), rec)
			require.NoError(t, s.Close())
		})
	}
}

// Every bit of a segment is flipped in turn. The records that the flip does not
// touch are read, what it touches is reported with its place, and nothing is read that
// was not written.
func TestFlippedBit(t *testing.T) {
	_, _, text := segmentText(t, 1)
	var wrote []record.Record
	for line := range bytes.Lines(text) {
		rec, err := record.Decode(bytes.TrimSuffix(line, []byte("\n")))
		require.NoError(t, err)
		wrote = append(wrote, rec)
	}
	for bit := range len(text) * 8 {
		flipped := bytes.Clone(text)
		flipped[bit/8] ^= 1 << (bit % 8)
		records, damage, whole, torn, err := record.Scan(flipped, 0)
		require.NoError(t, err)
		require.Equal(t, int64(len(text)), whole+torn)
		require.NotZero(t, len(damage)+int(torn), "bit %d is not noticed", bit)
		require.GreaterOrEqual(t, len(records), len(wrote)-2, "a flipped end of line takes two, anything else one")
		for _, r := range records {
			rec, err := record.Decode(flipped[r.Offset : r.Offset+r.Length])
			require.NoError(t, err)
			require.Equal(t, wrote[rec.Number-1], rec)
		}
		end := int64(-1)
		for i, d := range damage { // two where the flip makes an end of line
			require.True(t, i == 0 && d.Offset <= int64(bit/8) || d.Offset == end, "damage at %d by byte %d", d.Offset, bit/8)
			end = d.Offset + d.Length
		}
		require.True(t, torn > 0 || int64(bit/8) < end)
	}
}

func TestDamageInTheMiddle(t *testing.T) {
	dir, ids, text := segmentText(t, 4)
	second := bytes.IndexByte(text, '\n') + 1
	length := bytes.IndexByte(text[second:], '\n') + 1
	text[second+200] ^= 4
	require.NoError(t, os.WriteFile(firstSegment(dir), text, 0o600))

	s, report, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	want := record.Damage{
		Segment: "000000000001.jsonl", Line: 2, Offset: int64(second), Length: int64(length), After: 1, Before: 3,
		Reason: "does not match its checksum",
	}
	assert.Equal(t, []record.Damage{want}, report.Damaged)
	assert.Equal(t, []string{fmt.Sprintf("record damaged: segments/000000000001.jsonl line 2 (%d bytes from byte %d, "+
		"number above 1, below 3) does not match its checksum", length, second)}, report.Sentences())
	_, err = s.Get(ids[1])
	var damage *record.Damage
	require.ErrorAs(t, err, &damage)
	assert.Equal(t, want, *damage)
	records, faults := all(s.Reader)
	assert.Len(t, records, 4)
	require.Len(t, faults, 1)
	require.ErrorAs(t, faults[0], &damage)
	id := keep(t, s, sample(9))
	require.NoError(t, s.Close())

	after, err := os.ReadFile(firstSegment(dir))
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(after, text), "damage is left for a person to look at")
	r, report, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	assert.Len(t, report.Damaged, 1, "and is reported again")
	_, err = r.Get(id)
	require.NoError(t, err)
}

// A record may decay while the store is open.
func TestDamageSinceOpening(t *testing.T) {
	dir, ids, text := segmentText(t, 3)
	r, _, err := record.OpenReadOnly(dir)
	require.NoError(t, err)
	second := bytes.IndexByte(text, '\n') + 1
	text[second+200] ^= 4
	require.NoError(t, os.WriteFile(firstSegment(dir), text, 0o600))
	_, err = r.Get(ids[1])
	var damage *record.Damage
	require.ErrorAs(t, err, &damage)
	assert.Equal(t, 2, damage.Line)
	assert.Equal(t, int64(second), damage.Offset)
	records, faults := all(r)
	assert.Len(t, records, 3)
	assert.Len(t, faults, 1)
	require.NoError(t, os.Remove(firstSegment(dir)))
	_, err = r.Get(ids[0])
	require.ErrorIs(t, err, record.ErrNotFound)
	records, faults = all(r)
	assert.Empty(t, records)
	require.Len(t, faults, 1)
	require.ErrorIs(t, faults[0], record.ErrNotFound)
}

func TestScan(t *testing.T) {
	_, _, text := segmentText(t, 3)
	l := bytes.SplitAfter(text, []byte("\n"))
	join := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	later := bytes.Replace(l[1], []byte(`{"format":1,`), []byte(`{"format":2,`), 1)
	reseal := func(line []byte, old, new string) []byte {
		body := bytes.TrimSuffix(line[record.BodyFrom:], []byte("\n"))
		return append(record.Seal(bytes.Replace(body, []byte(old), []byte(new), 1)), '\n')
	}
	tests := []struct {
		name    string
		text    []byte
		numbers []int64
		reasons []string
	}{
		{"whole", text, []int64{1, 2, 3, 4}, nil},
		{"empty", nil, nil, nil},
		{"a line twice", join(l[0], l[0], l[1]), []int64{1, 2}, []string{"has the number 1, which is not above 1"}},
		{"lines exchanged", join(l[1], l[0], l[2]), []int64{2, 3}, []string{"has the number 1, which is not above 2"}},
		{"a line missing", join(l[0], l[2]), []int64{1, 3}, nil},
		{"an empty line", join(l[0], []byte("\n"), l[1]), []int64{1, 2}, []string{"does not begin as a record does"}},
		{"zeros", join(l[0], make([]byte, 4096), []byte("\n"), l[1]), []int64{1, 2}, []string{"does not begin as a record does"}},
		{"a later format", join(l[0], later, l[2]), []int64{1, 3}, []string{"later version"}},
		{"an unknown kind", join(l[0], reseal(l[1], `"answer"`, `"ballad"`)), []int64{1}, []string{`unknown kind "ballad"`}},
		{"another's id", join(l[0], reseal(l[1], record.FormatID(2), record.FormatID(1))), []int64{1}, []string{"without its own id"}},
		{"no id", join(l[0], reseal(l[1], record.FormatID(2), "222-2222")), []int64{1}, []string{"no answer's id"}},
		{"a fact before its answer", join(reseal(l[3], record.FormatID(1), record.FormatID(9))), nil, []string{"comes after it"}},
		{"a checksum over nonsense", append(record.Seal([]byte(`"record":[}`)), '\n'), nil, []string{"cannot be read"}},
		{"a checksum over nothing", append(record.Seal(nil), '\n'), nil, []string{"holds no record"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			records, damage, whole, torn, err := record.Scan(test.text, 0)
			require.NoError(t, err)
			assert.Equal(t, int64(len(test.text)), whole)
			assert.Zero(t, torn)
			var numbers []int64
			for _, r := range records {
				numbers = append(numbers, r.Number)
			}
			assert.Equal(t, test.numbers, numbers)
			require.Len(t, damage, len(test.reasons))
			for i, d := range damage {
				assert.Contains(t, d.Reason, test.reasons[i])
			}
		})
	}
}

// Lines run together when the end of one decays. The ids of both were given
// out, so that neither number may be used again.
func TestNumbersOfLinesRunTogetherAreNotUsedAgain(t *testing.T) {
	dir, _, text := segmentText(t, 6)
	lines := bytes.SplitAfter(text, []byte("\n"))
	at := len(lines[0]) + len(lines[1])
	for range 3 { // the ends of lines 3, 4 and 5
		at += bytes.IndexByte(text[at:], '\n')
		text[at] = ' '
	}
	text = text[:len(text)-1] // and of the last
	require.NoError(t, os.WriteFile(firstSegment(dir), text, 0o600))
	s, report, err := record.Open(dir, record.Options{})
	require.NoError(t, err)
	assert.Equal(t, 2, report.Records)
	id := keep(t, s, sample(7))
	assert.Greater(t, id, record.FormatID(7))
	require.NoError(t, s.Close())
}

func TestHugeLine(t *testing.T) {
	_, _, text := segmentText(t, 1)
	end := bytes.IndexByte(text, '\n') + 1
	long := append(bytes.Repeat([]byte("x"), 14<<20), '\n')
	records, damage, _, _, err := record.Scan(bytes.Join([][]byte{text[:end], long, text[end:]}, nil), 0)
	require.NoError(t, err)
	assert.Len(t, records, 2)
	require.Len(t, damage, 1)
	assert.Contains(t, damage[0].Reason, "is longer than")
	assert.Equal(t, int64(len(long)), damage[0].Length)
}

func FuzzScan(f *testing.F) {
	text := smallText(f) // seeds are short: inputs are made smaller byte by byte
	lines := bytes.SplitAfter(text, []byte("\n"))
	f.Add(text, int64(0))
	f.Add(text[:len(text)-3], int64(0))
	f.Add(bytes.Join([][]byte{lines[1], lines[0]}, nil), int64(1))
	f.Add([]byte("\n\n\n"), int64(-1<<63))
	f.Add(append(record.Seal([]byte(`"record":{"n":9223372036854775807,"id":"YYY-YYY6","kind":"fact"}}`)), '\n'), int64(1<<62))
	f.Add(append(record.Seal([]byte(`"record":{"n":2,"id":"222-223P","kind":"fact","at":"9999-12-31T23:59:60Z"}}`)), '\n'), int64(0))
	f.Add(append(record.Seal([]byte(`"record":`+strings.Repeat("[", 300)+"}")), '\n'), int64(0))
	f.Add(bytes.Replace(text, []byte(`"answer_gzip":"`), []byte(`"answer_gzip":"!`), 1), int64(0))
	castagnoli := crc32.MakeTable(crc32.Castagnoli)
	f.Fuzz(func(t *testing.T, text []byte, last int64) {
		records, damage, whole, torn, err := record.Scan(text, last)
		if err != nil {
			t.Fatal(err)
		}
		if whole+torn != int64(len(text)) || len(records)+len(damage) != bytes.Count(text, []byte("\n")) {
			t.Fatalf("%d records, %d damaged, %d whole and %d torn bytes do not account for %d", len(records), len(damage), whole, torn, len(text))
		}
		for _, r := range records {
			line := text[r.Offset : r.Offset+r.Length]
			from := len(`{"format":1,"crc32c":"00000000",`)
			sum := fmt.Sprintf("%08x", crc32.Checksum(line[from:], castagnoli))
			if string(line[from-10:from]) != sum+`",` {
				t.Fatalf("took %q for a record, checksum %s", line, sum)
			}
			if r.Number <= last {
				t.Fatalf("number %d after %d", r.Number, last)
			}
			last = r.Number
			// the same line may still have an answer that cannot be read
			if rec, err := record.Decode(line); err == nil && rec.Kind == record.KindAnswer && record.Sum(rec.Answer) != rec.AnswerHash {
				t.Fatalf("an answer that is not the one recorded: %q", line)
			}
		}
	})
}
