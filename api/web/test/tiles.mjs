// A base map for tests: pictures in one colour, and a PMTiles archive of them (PMTiles
// specification, version 3).
import {deflateSync} from 'node:zlib'

/** A picture of 256 by 256 in one colour as PNG (ISO/IEC 15948). */
export function png(red, green, blue) {
  const side = 256
  const head = Buffer.alloc(13)
  head.writeUInt32BE(side, 0)
  head.writeUInt32BE(side, 4)
  head.set([8, 2, 0, 0, 0], 8) // 8 bits each of red, green and blue
  const line = Buffer.concat([Buffer.from([0]), Buffer.alloc(3 * side, Buffer.from([red, green, blue]))])
  return Buffer.concat([Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]), chunk('IHDR', head),
    chunk('IDAT', deflateSync(Buffer.concat(Array(side).fill(line)))), chunk('IEND', Buffer.alloc(0))])
}

function chunk(name, body) {
  const named = Buffer.concat([Buffer.from(name), body])
  const out = Buffer.alloc(named.length + 8)
  out.writeUInt32BE(body.length, 0)
  named.copy(out, 4)
  out.writeUInt32BE(crc(named), named.length + 4)
  return out
}

function crc(bytes) {
  let c = ~0
  for (const b of bytes) {
    c ^= b
    for (let i = 0; i < 8; i++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1
  }
  return ~c >>> 0
}

export function varint(n) {
  const out = []
  for (; n >= 128; n = Math.floor(n / 128)) out.push(n % 128 + 128)
  return [...out, n]
}

/** A directory of entries [id, run, length, offset] in order. */
export function directory(entries, pack = b => b) {
  let last = 0
  const column = f => entries.flatMap(e => varint(f(e)))
  return pack(Buffer.from([...varint(entries.length), ...column(e => { const step = e[0] - last; last = e[0]; return step }),
    ...column(e => e[1]), ...column(e => e[2]), ...column(e => e[3] + 1)]))
}

/** An archive of parts as they are stored; packed: 1 none, 2 gzip. */
export function archive({root, metadata = Buffer.from('{}'), leaves = Buffer.alloc(0), tiles, packed = 1, maxZoom}) {
  const head = Buffer.alloc(127)
  head.write('PMTiles')
  head[7] = 3
  let at = head.length
  const parts = [root, metadata, leaves, tiles]
  parts.forEach((part, i) => {
    head.writeBigUInt64LE(BigInt(at), 8 + 16 * i)
    head.writeBigUInt64LE(BigInt(part.length), 16 + 16 * i)
    at += part.length
  })
  head.set([packed, 1, 2, 0, maxZoom], 97) // tiles not compressed, PNG
  return Buffer.concat([head, ...parts])
}
