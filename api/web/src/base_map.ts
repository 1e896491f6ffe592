// The map that the service is told to draw under the region's own lines: tiles at an
// address, or out of an archive that the service serves. Without one nothing is asked
// for but whether there is one.

import type Tile from 'ol/Tile'
import ImageTile from 'ol/ImageTile'
import TileState from 'ol/TileState'
import TileLayer from 'ol/layer/Tile'
import XYZ from 'ol/source/XYZ'
import {getJSON, request} from './client'
import type {BaseMap} from './shapes'

export interface Base { layer: TileLayer, attribution: string }

let asked: Promise<BaseMap> | null = null

/** The layer of the base map; null: there is none. */
export async function baseMap(): Promise<Base | null> {
  asked ??= getJSON<BaseMap>('/v1/base-map').catch((e: unknown) => { asked = null; throw e })
  const m = await asked
  const source = m.tile_url !== undefined ? new XYZ({...zooms(m), url: m.tile_url})
    : m.archive !== undefined ? await fromArchive(m, m.archive) : null
  return source === null ? null : {layer: new TileLayer({source, className: 'base-map', zIndex: -1}), attribution: m.attribution ?? ''}
}

function zooms(m: BaseMap): {minZoom: number, maxZoom: number} { return {minZoom: m.min_zoom ?? 0, maxZoom: m.max_zoom ?? 0} }

async function fromArchive(m: BaseMap, path: string): Promise<XYZ> {
  const {Archive} = await import('./archive')
  const archive = new Archive(async (offset, length) => {
    const response = await request(path, {headers: {Range: `bytes=${offset}-${offset + length - 1}`}})
    return await response.arrayBuffer()
  })
  const draw = async (tile: ImageTile) => {
    const [z = 0, x = 0, y = 0] = tile.getTileCoord()
    const bytes = await archive.tile(z, x, y)
    if (bytes === null) return tile.setState(TileState.ERROR)
    const picture = await createImageBitmap(new Blob([bytes])) // which needs no address, so the content policy stays as it is
    const canvas = document.createElement('canvas')
    canvas.width = picture.width
    canvas.height = picture.height
    canvas.getContext('2d')?.drawImage(picture, 0, 0)
    picture.close()
    tile.setImage(canvas)
  }
  return new XYZ({...zooms(m), tileUrlFunction: ([z, x, y]) => `${z}/${x}/${y}`,
    tileLoadFunction: (tile: Tile) => {
      if (tile instanceof ImageTile) draw(tile).catch(() => tile.setState(TileState.ERROR))
    }})
}
