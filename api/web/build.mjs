// Bundles the page into dist: index.html, worker.js, and assets named after
// their content, each with a compressed twin where that is smaller. Prints the
// sizes and fails when the page outgrows its bound.
import {build} from 'esbuild'
import {createHash} from 'node:crypto'
import {mkdir, mkdtemp, readdir, readFile, rm, writeFile} from 'node:fs/promises'
import {tmpdir} from 'node:os'
import {basename, dirname, join} from 'node:path'
import {fileURLToPath, pathToFileURL} from 'node:url'
import {gzipSync} from 'node:zlib'

const bound = 300_000 // bytes, compressed: all that a browser fetches, the map included

const here = dirname(fileURLToPath(import.meta.url))
const dist = join(here, 'dist')
const assets = join(dist, 'assets')

await rm(assets, {recursive: true, force: true})
await mkdir(assets, {recursive: true})

const common = {bundle: true, minify: true, target: ['es2022'], format: 'esm', legalComments: 'none', absWorkingDir: here, logLevel: 'warning'}
const bundled = await build({...common, metafile: true, entryPoints: {page: 'src/main.tsx'}, entryNames: '[name]-[hash]', chunkNames: 'part-[hash]', splitting: true, outdir: assets, jsx: 'automatic', jsxImportSource: 'preact'})

await build({...common, entryPoints: {start: 'src/start.ts'}, entryNames: '[name]-[hash]', outdir: assets, format: 'iife'})

await writeFile(join(assets, 'terms.txt'), await terms(['ol', 'preact', 'rbush', 'quickselect', 'earcut']))
const icon = await readFile(join(here, 'src/icon.svg'))
await writeFile(join(assets, `icon-${hash(icon)}.svg`), icon)

// what the page's own code cannot begin without
const shared = Object.values(bundled.metafile.outputs).find(o => o.entryPoint === 'src/main.tsx').imports
  .filter(i => i.kind === 'import-statement').map(i => basename(i.path))

const names = (await readdir(assets)).sort()
const find = (start, end) => names.find(n => n.startsWith(start) && n.endsWith(end))
const first = await shells()
const start = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>surgeonward</title>
<link rel="icon" href="/page/${find('icon-', '.svg')}">
<link rel="stylesheet" href="/page/${find('page-', '.css')}">
<link rel="license" href="/page/terms.txt">
${shared.map(f => `<link rel="modulepreload" href="/page/${f}">\n`).join('')}<script type="module" src="/page/${find('page-', '.js')}"></script>
<template id="first-narrow">${first.narrow}</template>
<div id="page">${first.wide}</div>
<script src="/page/${find('start-', '.js')}"></script>
<noscript><p>This page needs JavaScript. Without it, ask on the command line: surgeonward options --scene "LATITUDE,LONGITUDE"</p></noscript>
</html>
`
await writeFile(join(dist, 'index.html'), start)

const files = names.filter(n => n !== 'terms.txt').map(n => '/page/' + n)
await build({...common, entryPoints: {worker: 'src/worker.ts'}, outdir: dist, format: 'iife',
  define: {FILES: JSON.stringify(files), BUILD: JSON.stringify(hash(Buffer.from(start)))}})

let sum = 0
for (const file of [join(dist, 'index.html'), join(dist, 'worker.js'), ...names.map(n => join(assets, n))]) {
  const body = await readFile(file)
  const zipped = gzipSync(body, {level: 9})
  await rm(file + '.gz', {force: true})
  if (zipped.length < 0.9 * body.length) await writeFile(file + '.gz', zipped)
  if (!file.endsWith('.txt')) sum += zipped.length
  console.log(`${basename(file).padEnd(24)} ${String(body.length).padStart(8)} bytes, ${String(zipped.length).padStart(7)} compressed`)
}
console.log(`${'together'.padEnd(24)} ${String(sum).padStart(23)} compressed, of at most ${bound}`)
if (sum > bound) process.exit(1)

/** The first view as text, for a wide and a narrow screen. */
async function shells() {
  const folder = await mkdtemp(join(tmpdir(), 'surgeonward-shell-'))
  try {
    const outfile = join(folder, 'shell.mjs')
    await build({...common, entryPoints: ['src/shell.tsx'], outfile, platform: 'node', minify: false, jsx: 'automatic', jsxImportSource: 'preact', external: ['./map']})
    const {shell} = await import(pathToFileURL(outfile))
    const made = {wide: shell(false), narrow: shell(true)}
    // the content policy would drop it
    for (const text of Object.values(made)) if (/\sstyle=|<script/.test(text)) throw new Error('the first view has a style or a script in its markup')
    return made
  } finally {
    await rm(folder, {recursive: true, force: true})
  }
}

function hash(body) { return createHash('sha256').update(body).digest('hex').slice(0, 8).toUpperCase() }

/** The licences of what is bundled, which ask to be passed on. */
async function terms(packages) {
  const parts = []
  for (const p of packages) {
    const folder = join(here, 'node_modules', p)
    const file = (await readdir(folder)).find(n => /^licen[cs]e/i.test(n))
    if (file !== undefined) parts.push(`${p}\n\n${(await readFile(join(folder, file), 'utf8')).trim()}\n`)
  }
  return parts.join('\n----\n\n')
}
