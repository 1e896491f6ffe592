// A whole file in place of another: first what it would change, then the change.

import type {JSX} from 'preact'
import {useState} from 'preact/hooks'
import {Refused, type Fault} from './client'
import {fileOf, fileTag, putFile, tryFile} from './edits'
import {SelectField, TextField} from './fields'
import type {Import} from './shapes'
import {words} from './strings'

const files = [...Object.values(fileOf), 'settings.json']

export function ImportView(): JSX.Element {
  const w = words.region
  const [name, setName] = useState(files[0]!)
  const [text, setText] = useState('')
  const [tried, setTried] = useState<{plan: Import, tag: string} | null>(null)
  const [why, setWhy] = useState('')
  const [said, setSaid] = useState('')
  const [wrong, setWrong] = useState<{text: string, faults: Fault[]}>({text: '', faults: []})
  const fail = (e: unknown) => setWrong({text: e instanceof Error ? e.message : String(e), faults: e instanceof Refused ? e.faults : []})
  const reset = () => { setTried(null); setSaid(''); setWrong({text: '', faults: []}) }
  const look = () => {
    reset()
    // the tag first: what the dry run is told of is then what the change is made to, or it is refused
    fileTag(name).then(tag => tryFile(name, text).then(plan => setTried({plan, tag}))).catch(fail)
  }
  const go = () => {
    if (tried === null) return
    putFile(name, text, tried.tag, why).then(done => { reset(); setText(''); setSaid(w.imported(done.version ?? 0)) }, fail)
  }
  const plan = tried?.plan
  return <section class="import" aria-label={w.import}>
    <p class="hint">{w.importHint}</p>
    <div class="part">
      <SelectField label={w.file} value={name} set={v => { setName(v); reset() }} choices={files.map(f => [f, f] as const)} />
      <div class="field"><span class="head"><label for="import-file">{w.chooseFile}</label></span>
        <input id="import-file" type="file" accept=".json,.geojson,application/json" onChange={e => {
          const f = e.currentTarget.files?.[0]
          reset()
          if (f !== undefined) void f.text().then(setText, fail)
        }} /></div>
      <button type="button" class="strong" disabled={text === ''} onClick={look}>{w.dryRun}</button>
    </div>
    {wrong.text !== '' && <div class="problem" role="alert"><p>{wrong.text}</p><ul>{wrong.faults.map(f => <li key={f.pointer + f.detail}><code>{f.pointer}</code> {f.detail}</li>)}</ul></div>}
    {plan !== undefined && <div role="status">
      {([['created', plan.created], ['changed', plan.changed], ['deleted', plan.deleted]] as const).map(([k, a]) =>
        <p key={k}><strong>{w.affected[k](a.count)}</strong> {a.ids.slice(0, 30).join(', ')}{a.count > 30 ? ' …' : ''}</p>)}
      {plan.beside && <p>{w.beside}</p>}
      {plan.faults.length > 0
        ? <div class="problem"><p>{w.refused}</p><ul>{plan.faults.map(f => <li key={(f.pointer ?? '') + f.detail}><code>{[f.file, f.element, f.pointer].filter(Boolean).join(' ')}</code> {f.detail}</li>)}</ul></div>
        : <><TextField label={w.why} value={why} set={setWhy} />
            <p class="actions"><button type="button" class="strong" onClick={go}>{w.importNow}</button></p></>}
    </div>}
    <p role="status">{said}</p>
  </section>
}
