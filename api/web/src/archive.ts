// Reads single tiles out of a PMTiles archive by byte ranges (PMTiles specification,
// version 3, which is in the public domain).

/** Reads so many bytes from an offset; fewer where the file ends. */
export type Read = (offset: number, length: number) => Promise<ArrayBuffer>

export interface Entry { id: number, run: number, offset: number, length: number }

const headerSize = 127
const firstRead = 16_384 // bytes that the header and the root directory are within
const deepest = 4        // directories below each other
const kept = 64          // leaf directories in memory

export class Archive {
  private head: Promise<Head> | null = null
  private readonly leaves = new Map<string, Promise<Entry[]>>()

  constructor(private readonly read: Read) {}

  /** A tile as it is stored; null where the archive has none. */
  async tile(z: number, x: number, y: number): Promise<ArrayBuffer | null> {
    this.head ??= this.open().catch((e: unknown) => { this.head = null; throw e })
    const head = await this.head
    const id = tileID(z, x, y)
    let entries = head.root
    for (let depth = 0; depth < deepest; depth++) {
      const found = findEntry(entries, id)
      if (found === null) return null
      if (found.run > 0) return unpack(await this.read(head.tiles + found.offset, found.length), head.tilePacked)
      entries = await this.leaf(head, found)
    }
    throw new Error('the archive has too many directories below each other')
  }

  private async open(): Promise<Head> {
    const bytes = await this.read(0, firstRead)
    const view = new DataView(bytes)
    if (bytes.byteLength < headerSize || view.getUint32(0) !== 0x504d5469) throw new Error('no PMTiles archive') // PMTi
    const at = (offset: number) => Number(view.getBigUint64(offset, true))
    const packed = view.getUint8(97)
    const root = at(8) + at(16) <= bytes.byteLength ? bytes.slice(at(8), at(8) + at(16)) : await this.read(at(8), at(16))
    return {root: readDirectory(await unpack(root, packed)), leaves: at(40), tiles: at(56), packed, tilePacked: view.getUint8(98)}
  }

  private leaf(head: Head, e: Entry): Promise<Entry[]> {
    const key = `${e.offset} ${e.length}`
    let leaf = this.leaves.get(key)
    if (leaf === undefined) {
      if (this.leaves.size >= kept) this.leaves.clear()
      leaf = this.read(head.leaves + e.offset, e.length).then(b => unpack(b, head.packed)).then(readDirectory)
      leaf.catch(() => this.leaves.delete(key))
      this.leaves.set(key, leaf)
    }
    return leaf
  }
}

interface Head { root: Entry[], leaves: number, tiles: number, packed: number, tilePacked: number }

async function unpack(bytes: ArrayBuffer, packed: number): Promise<ArrayBuffer> {
  if (packed <= 1) return bytes // not said, or none
  if (packed !== 2) throw new Error('a compression that is not read')
  return await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))).arrayBuffer()
}

/** The place of a tile on the Hilbert curve, after those of all lesser zooms. */
export function tileID(z: number, x: number, y: number): number {
  let id = (4 ** z - 1) / 3
  for (let side = 2 ** z / 2; side >= 1; side /= 2) {
    const right = x >= side ? 1 : 0
    const down = y >= side ? 1 : 0
    id += side * side * ((3 * right) ^ down)
    x -= right * side
    y -= down * side
    if (down === 0) {
      if (right === 1) [x, y] = [side - 1 - x, side - 1 - y];
      [x, y] = [y, x]
    }
  }
  return id
}

export function readDirectory(bytes: ArrayBuffer): Entry[] {
  const b = new Uint8Array(bytes)
  let at = 0
  const next = (): number => {
    let value = 0
    for (let place = 1; ; place *= 128) {
      const byte = b[at++]
      if (byte === undefined || place > 2 ** 56) throw new Error('a directory that is cut short')
      value += (byte & 127) * place
      if (byte < 128) return value
    }
  }
  const count = next()
  if (count > b.length) throw new Error('a directory that is cut short')
  const entries: Entry[] = []
  for (let i = 0, id = 0; i < count; i++) entries.push({id: id += next(), run: 0, offset: 0, length: 0})
  for (const e of entries) e.run = next()
  for (const e of entries) e.length = next()
  let end = 0
  for (const e of entries) {
    const stored = next()
    e.offset = stored === 0 ? end : stored - 1
    end = e.offset + e.length
  }
  return entries
}

/** The entry that has a tile, or the directory that may; null: neither. */
export function findEntry(entries: readonly Entry[], id: number): Entry | null {
  let low = 0
  let high = entries.length
  while (low < high) { // the first that begins after it
    const middle = (low + high) >> 1
    if (entries[middle]!.id <= id) low = middle + 1
    else high = middle
  }
  const e = entries[low - 1]
  return e !== undefined && (e.run === 0 || id < e.id + e.run) ? e : null
}
