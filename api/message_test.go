package api_test

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/rs/zerolog"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"surgeonward/api"
	"surgeonward/api/record"
)

// The message of a telephone at a place in the demo region; its length was counted.
const (
	amlSubscriber = "234302543446355"
	amlHandset    = "356708041746734"
	amlScene      = `A"ML=1;lt=+45.52000;lg=-29.41000;rd=50;top=20310614213800;lc=95;pm=G;si=` + amlSubscriber + `;ei=` + amlHandset + `;mcc=234;mnc=30;ml=128`
	pidfloScene   = `<presence xmlns="urn:ietf:params:xml:ns:pidf" entity="pres:` + amlSubscriber + `@telephone.invalid"><tuple xmlns:gp="urn:ietf:params:xml:ns:pidf:geopriv10" id="` + amlHandset + `">` +
		`<status><gp:geopriv><gp:location-info><gs:Circle xmlns:gs="http://www.opengis.net/pidflo/1.0" xmlns:gml="http://www.opengis.net/gml" srsName="urn:ogc:def:crs:EPSG::4326">` +
		`<gml:pos>45.52 -29.41</gml:pos><gs:radius uom="urn:ogc:def:uom:EPSG::9001">50</gs:radius></gs:Circle></gp:location-info></gp:geopriv></status></tuple></presence>`
)

// TestSceneFromMessages: latitude comes first in both messages (ETSI TS 103 625 and
// RFC 5491, read second hand); whose telephone it is comes out nowhere.
func TestSceneFromMessages(t *testing.T) {
	var log bytes.Buffer
	h := handler(t, func(c *api.Config) { c.Logger = zerolog.New(&log) })
	for _, c := range []struct{ name, text, format string }{
		{"AML", amlScene, "AML text message"},
		{"PIDF-LO", pidfloScene, "PIDF-LO location"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, err := json.Marshal(c.text)
			require.NoError(t, err)
			w := post(h, `{"at":"2031-06-14T21:40:00Z","scene":{"position_text":`+string(text)+`}}`)
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			var answer struct {
				Scene struct {
					Position     [2]float64
					Format       string
					UncertaintyM float64 `json:"uncertainty_m"`
				}
			}
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &answer))
			assert.Equal(t, [2]float64{-29.41, 45.52}, answer.Scene.Position)
			assert.Equal(t, c.format, answer.Scene.Format)
			assert.Equal(t, 50.0, answer.Scene.UncertaintyM)
			assert.Contains(t, w.Body.String(), "with a confidence of 95 % to be within 50 m")
			for _, secret := range []string{amlSubscriber, amlHandset} {
				assert.NotContains(t, w.Body.String(), secret)
				assert.NotContains(t, log.String(), secret)
			}

			w = get(h, "/v1/options?scene="+url.QueryEscape(c.text))
			assert.Equal(t, http.StatusBadRequest, w.Code)
			assert.Contains(t, w.Body.String(), "send it with POST")
			for _, secret := range []string{amlSubscriber, amlHandset} {
				assert.NotContains(t, w.Body.String(), secret)
				assert.NotContains(t, log.String(), secret)
			}
		})
	}
}

// TestBrokenMessageNamesNobody: one character lost.
func TestBrokenMessageNamesNobody(t *testing.T) {
	h := handler(t)
	for _, broken := range []string{amlScene[:20] + amlScene[21:], pidfloScene[:len(pidfloScene)-1]} {
		text, err := json.Marshal(broken)
		require.NoError(t, err)
		w := post(h, `{"scene":{"position_text":`+string(text)+`}}`)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code, w.Body)
		assert.NotContains(t, w.Body.String(), amlSubscriber)
		assert.NotContains(t, w.Body.String(), amlHandset)
	}
}

// TestMessageIsRecordedWithoutItsPerson: the answer is kept, asks the same again, and
// no file of the record has the identities.
func TestMessageIsRecordedWithoutItsPerson(t *testing.T) {
	for name, scene := range map[string]string{"AML": amlScene, "PIDF-LO": pidfloScene} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			h, _ := recording(t, dir)
			text, err := json.Marshal(scene)
			require.NoError(t, err)
			w := post(h, `{"scene":{"landing":"possible","position_text":`+string(text)+`},"limit":1}`)
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			id := w.Header().Get(recordHeader)
			require.NotEqual(t, "none", id)
			reader, _, err := record.OpenReadOnly(dir)
			require.NoError(t, err)
			rec, err := reader.Get(id)
			require.NoError(t, err)
			assert.NotContains(t, string(rec.Request), amlSubscriber)
			assert.NotContains(t, string(rec.Request), amlHandset)
			assert.Contains(t, string(rec.Request), `"landing":"possible"`, "the rest of the question is kept")
			r, err := api.RecordedRegion(&rec, reader)
			require.NoError(t, err)
			again, err := api.NewReplay(t.Context(), &rec, r, reader)
			require.NoError(t, err)
			assert.Equal(t, string(rec.Answer), string(again.Answer))
			assert.True(t, again.Same)
			require.NoError(t, filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
				if err != nil || entry.IsDir() {
					return err
				}
				content, err := os.ReadFile(path)
				for _, secret := range []string{amlSubscriber, amlHandset, "telephone.invalid"} {
					assert.NotContains(t, string(content), secret, path)
				}
				return err
			}))
		})
	}
}
