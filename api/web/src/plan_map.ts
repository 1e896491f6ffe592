// The map of minutes: bands from the longest to the shortest, each over the one
// before, with the minutes on its line; or what a change makes sooner and later, cell by
// cell; hospitals, bases, chosen sites and places to choose from.

import Collection from 'ol/Collection'
import Feature from 'ol/Feature'
import GeoJSON from 'ol/format/GeoJSON'
import Map from 'ol/Map'
import View from 'ol/View'
import {createEmpty, extend, isEmpty} from 'ol/extent'
import {LineString, MultiLineString, Point, Polygon, type MultiPolygon} from 'ol/geom'
import {defaults as defaultInteractions} from 'ol/interaction/defaults'
import Translate from 'ol/interaction/Translate'
import {defaults as defaultControls} from 'ol/control/defaults'
import VectorLayer from 'ol/layer/Vector'
import {fromLonLat, toLonLat} from 'ol/proj'
import VectorSource from 'ol/source/Vector'
import {Circle, Fill, RegularShape, Stroke, Style, Text} from 'ol/style'
import {bandColours, bandDashes, bandMinutes, gainColours, paint, shade, type Paint} from './palette'
import {gainClass, type Cell} from './plan_cells'
import {operatesInChest, positionOf, type Region} from './region'
import type {Position} from './shapes'
import type {Light} from './state'

export interface Site { name: string, at: Position }
export interface Spot { key: number, name: string, at: Position }
export interface Difference { before: readonly Cell[], after: readonly Cell[], cellM: number }
export interface PlanSeen {
  region: Region, light: Light, bands: object | null, difference: Difference | null, sites: readonly Site[], spots: readonly Spot[], mark: Position | null
}
export interface Hooks { click: (p: Position) => void, move: (key: number, p: Position) => void }

const font = '600 12px system-ui, sans-serif'
const same = 3 // the class of a gain that is none
const ink = '#16202a' // on bands and cells, which are the same by day and by night

/** A frame that maps side by side share. */
export function newView(): View { return new View({center: [0, 0], zoom: 2, maxZoom: 16, enableRotation: false}) }

export class PlanMap {
  private readonly map: Map
  private readonly ground = new VectorSource()
  private readonly areas = new VectorSource()
  private readonly bands = new VectorSource()
  private readonly marks = new VectorSource()
  private readonly spots = new VectorSource()
  private readonly moved: Collection<Feature> = new Collection()

  private readonly shaded: VectorLayer

  constructor(target: HTMLElement, private readonly view: View, hooks: Hooks) {
    const layer = (source: VectorSource, zIndex: number, declutter = false) => new VectorLayer({source, zIndex, declutter})
    this.shaded = layer(this.areas, 1)
    const drag = new Translate({features: this.moved, hitTolerance: 10})
    drag.on('translateend', e => {
      const f = e.features.item(0)
      const point = f?.getGeometry()
      if (f !== undefined && point instanceof Point) hooks.move(Number(f.get('key')), lonLat(point.getCoordinates()))
    })
    this.map = new Map({
      target, view,
      layers: [layer(this.ground, 0), this.shaded, layer(this.bands, 2, true), layer(this.marks, 3, true), layer(this.spots, 4)],
      interactions: defaultInteractions({altShiftDragRotate: false, pinchRotate: false}).extend([drag]),
      controls: defaultControls({attribution: false, rotate: false}),
    })
    this.map.on('singleclick', e => hooks.click(lonLat(e.coordinate)))
    target.addEventListener('keydown', e => {
      const centre = this.view.getCenter()
      if (e.key !== 'Enter' || e.target !== target || centre === undefined) return
      e.preventDefault()
      hooks.click(lonLat(centre))
    })
  }

  dispose(): void { this.map.setTarget(undefined) }

  draw(seen: PlanSeen): void {
    this.drawGround(seen)
    this.areas.clear(true)
    this.bands.clear(true)
    this.shaded.setOpacity(shade[seen.light])
    if (seen.difference !== null) this.drawDifference(seen.difference)
    else if (seen.bands !== null) this.drawBands(seen.bands)
    this.drawMarks(seen)
    this.drawSpots(seen)
  }

  /** Draws at once: a printer does not wait. */
  drawNow(seen: PlanSeen): void {
    this.draw(seen)
    this.map.renderSync()
  }

  /** Frames the whole region. */
  frame(region: Region): void {
    const extent = createEmpty()
    for (const f of region.facilities) extend(extent, new Point(fromLonLat(positionOf(f))).getExtent())
    for (const f of this.ground.getFeatures()) extend(extent, f.getGeometry()?.getExtent() ?? extent)
    this.map.updateSize()
    const size = this.map.getSize() ?? [400, 300]
    const side = 0.05 * (size[0] ?? 0)
    if (!isEmpty(extent)) this.view.fit(extent, {padding: [16, side, 24, side], maxZoom: 12, size})
  }

  private drawGround({region, light}: PlanSeen): void {
    const p = paint[light]
    this.ground.clear(true)
    for (const r of region.ground) {
      const f = new Feature(new Polygon(r.rings.map(ring => ring.map(c => fromLonLat(c)))))
      f.setStyle(new Style({
        ...(r.kind !== 'high' && {stroke: new Stroke({color: p.coast, width: 1})}),
        fill: new Fill({color: r.kind === 'land' ? p.land : r.kind === 'water' ? p.sea : p.high}), zIndex: r.kind === 'water' ? 2 : r.kind === 'high' ? 1 : 0,
      }))
      this.ground.addFeature(f)
    }
  }

  private drawBands(bands: object): void {
    const areas = new GeoJSON().readFeatures(bands, {featureProjection: 'EPSG:3857'})
      .sort((a, b) => Number(a.get('within_min')) - Number(b.get('within_min')))
    let inner = -1 // the area within the shorter time: a longer one that adds nothing has no line
    for (const f of areas) {
      const at = bandMinutes.indexOf(Number(f.get('within_min')))
      const area = f.getGeometry()
      if (at < 0 || area?.getType() !== 'MultiPolygon' || f.get('area_km2') === inner) continue // points have no bands
      inner = Number(f.get('area_km2'))
      const order = bandMinutes.length - at
      f.setStyle(new Style({fill: new Fill({color: bandColours[at] as string}), zIndex: order}))
      this.areas.addFeature(f as Feature)
      const line = new Feature(new MultiLineString((area as MultiPolygon).getPolygons().flatMap(p => p.getLinearRings().map(r => new LineString(r.getCoordinates())))))
      line.setStyle(new Style({
        stroke: new Stroke({color: ink, width: 1.25, lineDash: [...bandDashes[at]!]}), zIndex: 10 + order,
        text: new Text({text: String(bandMinutes[at]), placement: 'line', repeat: 260, font, fill: new Fill({color: ink}), stroke: new Stroke({color: '#ffffff', width: 3.5})}),
      }))
      this.bands.addFeature(line)
    }
  }

  /** Each cell that is reached, with the minutes it gains or loses where there is room. */
  private drawDifference({before, after, cellM}: Difference): void {
    const label = new Fill({color: ink})
    const halo = new Stroke({color: '#ffffff', width: 3})
    const stroke = new Stroke({color: '#8b949c', width: 0.5})
    const shaded = gainColours.map((color, of) => {
      const fill = new Fill({color})
      return new Style({fill, stroke, image: new Circle({declutterMode: 'none', radius: 6, fill, stroke}), zIndex: Math.abs(of - same)})
    })
    const written: Record<string, Style> = {}
    before.forEach((b, i) => {
      const a = after[i]
      const of = a === undefined ? null : gainClass(b.typical, a.typical)
      if (a === undefined || of === null) return
      const high = cellM / 2 / 111_195, wide = high / Math.cos(b.at[1] * Math.PI / 180)
      const corner = (x: number, y: number) => fromLonLat([b.at[0] + x * wide, b.at[1] + y * high])
      const f = new Feature(cellM > 0 ? new Polygon([[corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1), corner(-1, -1)]]) : new Point(fromLonLat(b.at)))
      f.setStyle(shaded[of])
      this.areas.addFeature(f)
      if (of === same) return
      const text = gainText(b.typical, a.typical)
      const said = new Feature(new Point(fromLonLat(b.at)))
      said.setStyle(written[text] ??= new Style({text: new Text({text, font, fill: label, stroke: halo}), zIndex: Math.abs(of - same)}))
      this.bands.addFeature(said)
    })
  }

  private drawMarks({region, light, sites, mark}: PlanSeen): void {
    const p = paint[light]
    this.marks.clear(true)
    const edge = new Stroke({color: p.ink, width: 1.5})
    const put = (at: Position, image: Circle | RegularShape, name: string, zIndex: number) => {
      const f = new Feature(new Point(fromLonLat(at)))
      f.setStyle(new Style({image, zIndex, ...(name !== '' && {text: labelled(name, p, 17)})}))
      this.marks.addFeature(f)
    }
    for (const f of region.facilities) {
      const at = positionOf(f)
      if (f.properties.kind === 'hospital' && operatesInChest(f)) {
        put(at, new RegularShape({declutterMode: 'none', points: 4, radius: 9, angle: Math.PI / 4, fill: new Fill({color: p.hospital}), stroke: edge}), f.properties.name, 3)
      } else if (f.properties.kind === 'base') {
        put(at, new RegularShape({declutterMode: 'none', points: 3, radius: 6, fill: new Fill({color: p.paper}), stroke: edge}), '', 2)
      }
    }
    for (const s of sites) {
      put(s.at, new RegularShape({declutterMode: 'none', points: 5, radius: 13, radius2: 6, fill: new Fill({color: p.patient}), stroke: new Stroke({color: p.ink, width: 2})}), s.name, 9)
    }
    if (mark !== null) put(mark, new RegularShape({declutterMode: 'none', points: 4, radius: 13, radius2: 0, stroke: new Stroke({color: ink, width: 3})}), '', 10)
  }

  /** Places that can be dragged, numbered as in the list. */
  private drawSpots({light, spots}: PlanSeen): void {
    const p = paint[light]
    this.spots.clear(true)
    this.moved.clear()
    spots.forEach(s => {
      const f = new Feature(new Point(fromLonLat(s.at)))
      f.set('key', s.key)
      f.setStyle(new Style({
        image: new Circle({declutterMode: 'none', radius: 9, fill: new Fill({color: p.paper}), stroke: new Stroke({color: p.ink, width: 2.5, lineDash: [4, 2]})}), text: labelled(s.name, p, 20),
      }))
      this.spots.addFeature(f)
      this.moved.push(f)
    })
  }
}

function labelled(name: string, p: Paint, offsetY: number): Text {
  return new Text({text: [...name.replace(/\s+/g, ' ')].slice(0, 32).join(''), offsetY, font, fill: new Fill({color: p.ink}), stroke: new Stroke({color: p.paper, width: 3.5})})
}

/** Minutes sooner with a minus, later with a plus: what happens to the time. */
function gainText(before: number | null, after: number | null): string {
  if (before === null) return '✓'
  if (after === null) return '✗'
  const min = Math.round((after - before) / 60)
  return min > 0 ? `+${min}` : `−${Math.abs(min)}`
}

function lonLat(c: number[]): Position {
  const [lon = 0, lat = 0] = toLonLat(c)
  return [((lon + 540) % 360) - 180, lat]
}
