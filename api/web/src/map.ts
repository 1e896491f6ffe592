// The region on a canvas: the region's own lines and places, the assets, the
// scene, and the ways out; under them a base map where the service is told of one.

import Collection from 'ol/Collection'
import Feature from 'ol/Feature'
import Map from 'ol/Map'
import View from 'ol/View'
import {containsCoordinate, createEmpty, extend, isEmpty} from 'ol/extent'
import {LineString, MultiLineString, Point, Polygon} from 'ol/geom'
import {circular} from 'ol/geom/Polygon'
import {defaults as defaultInteractions} from 'ol/interaction/defaults'
import Translate from 'ol/interaction/Translate'
import VectorLayer from 'ol/layer/Vector'
import {fromLonLat, getPointResolution, toLonLat} from 'ol/proj'
import VectorSource from 'ol/source/Vector'
import {Circle, Fill, RegularShape, Stroke, Style, Text} from 'ol/style'
import {defaults as defaultControls} from 'ol/control/defaults'
import {baseMap, type Base} from './base_map'
import {wholeNumber} from './format'
import {greatCircle} from './geometry'
import {paint, type Paint} from './palette'
import {accepts, inAir, operatesInChest, placeOf, positionOf, type Region} from './region'
import type {Option, Position, Scene} from './shapes'
import type {Light} from './state'

export interface Seen { region: Region, scene: Scene | null, mark?: Position | null, options: readonly Option[], pick: string, at: number, states: ReadonlyMap<string, string> }

export class RegionMap {
  private readonly map: Map
  private readonly ground = new VectorSource()
  private readonly places = new VectorSource()
  private readonly ways = new VectorSource()
  private readonly scene = new VectorSource()
  private readonly layers: VectorLayer[]
  private readonly moved: Collection<Feature> = new Collection()
  private p: Paint = paint.day
  private seen: Seen | null = null
  private framed = ''
  private onBase = false // a base map lies under it

  constructor(target: HTMLElement, private readonly onScene: (p: Position) => void) {
    const layer = (source: VectorSource, zIndex: number, declutter = false) =>
      new VectorLayer({source, zIndex, declutter, updateWhileAnimating: true, updateWhileInteracting: true})
    this.layers = [layer(this.ground, 0), layer(this.ways, 1), layer(this.places, 2, true), layer(this.scene, 3)]
    const drag = new Translate({features: this.moved, hitTolerance: 12})
    drag.on('translateend', () => {
      const point = this.moved.item(0)?.getGeometry()
      if (point instanceof Point) this.onScene(lonLat(point.getCoordinates()))
    })
    this.map = new Map({
      target,
      layers: this.layers,
      view: new View({center: [0, 0], zoom: 2, maxZoom: 18, enableRotation: false}),
      interactions: defaultInteractions({altShiftDragRotate: false, pinchRotate: false}).extend([drag]),
      controls: defaultControls({attribution: false, rotate: false}),
    })
    void baseMap().then(base => base !== null && this.lay(base, target), () => undefined) // no signal: the region's own lines are there
    const rule = target.appendChild(document.createElement('div'))
    rule.className = 'rule'
    this.map.on('moveend', () => drawRule(rule, this.map.getView()))
    this.map.on('singleclick', e => this.onScene(lonLat(e.coordinate)))
    target.addEventListener('keydown', e => {
      if (e.key !== 'Enter' || e.target !== target) return
      e.preventDefault()
      const centre = this.map.getView().getCenter()
      if (centre !== undefined) this.onScene(lonLat(centre))
    })
  }

  dispose(): void { this.map.setTarget(undefined) }

  /** Lays a base map under the region, whose own ground then is left out. */
  private lay({layer, attribution}: Base, target: HTMLElement): void {
    if (this.map.getTarget() === undefined) return
    this.onBase = true
    this.map.addLayer(layer)
    const whose = target.appendChild(document.createElement('div'))
    whose.className = 'whose'
    whose.textContent = attribution
    if (this.seen !== null) this.drawGround(this.seen.region)
  }

  /** Draws by day or by night. */
  light(light: Light): void {
    this.p = paint[light]
    if (this.seen !== null) this.draw(this.seen)
  }

  /** Draws what is known. The frame moves only when the region, the scene or
   * the way that is looked at is another. */
  draw(seen: Seen): void {
    this.seen = seen
    this.drawGround(seen.region)
    this.drawPlaces(seen)
    this.drawWays(seen)
    this.drawScene(seen.scene)
    this.drawMark(seen.mark ?? null)
    this.frame(seen)
  }

  private frame(seen: Seen): void {
    const key = [seen.region.name, seen.scene?.position.join() ?? '', seen.pick].join('|')
    if (key === this.framed || seen.region.facilities.length === 0) return
    const jump = this.framed === ''
    this.framed = key
    const extent = createEmpty()
    const source = seen.scene === null ? this.places : this.scene
    extend(extent, source.getExtent() ?? extent)
    for (const f of this.ways.getFeatures()) {
      if (f.get('picked') === true) extend(extent, f.getGeometry()?.getExtent() ?? extent)
    }
    if (isEmpty(extent)) return
    const still = jump || matchMedia('(prefers-reduced-motion: reduce)').matches
    this.map.getView().fit(extent, {padding: source === this.places ? [24, 40, 24, 40] : [56, 96, 56, 96], maxZoom: 13, duration: still ? 0 : 250})
  }

  private drawGround(region: Region): void {
    const p = this.p
    this.ground.clear(true)
    const fill: Record<string, Style> = {
      land: new Style({fill: new Fill({color: p.land}), stroke: new Stroke({color: p.coast, width: 1})}),
      water: new Style({fill: new Fill({color: p.sea}), stroke: new Stroke({color: p.coast, width: 1}), zIndex: 2}),
      high: new Style({fill: new Fill({color: p.high}), zIndex: 1}),
    }
    for (const r of this.onBase ? [] : region.ground) {
      const f = new Feature(new Polygon(r.rings.map(ring => ring.map(c => fromLonLat(c)))))
      f.setStyle(fill[r.kind])
      this.ground.addFeature(f)
    }
    for (const w of region.ways) {
      const f = new Feature(new LineString(w.line.map(c => fromLonLat(c))))
      const dash = w.kind === 'ferry' ? [2, 5] : w.closed ? [6, 6] : undefined
      f.setStyle(new Style({
        stroke: new Stroke({color: w.kind === 'road' ? p.road : p.crossing, width: w.kind === 'road' ? 1.25 : 2.5, ...(dash !== undefined && {lineDash: dash})}),
        zIndex: 3,
      }))
      this.ground.addFeature(f)
    }
  }

  private drawPlaces({region, at, options, pick, states}: Seen): void {
    this.places.clear(true)
    const picked = options.find(o => o.id === pick)
    const near = new Set([picked?.destination.facility, picked?.meeting?.facility, picked?.via?.facility, picked?.far_field?.facility])
    for (const f of region.facilities) {
      if (f.properties.kind === 'base') continue
      const feature = new Feature(new Point(fromLonLat(positionOf(f))))
      const wanted = near.has(f.id)
      const takes = accepts(f, at)
      feature.setStyle(this.facilityStyle(f.properties.kind, operatesInChest(f), takes, wanted, f.properties.name))
      this.places.addFeature(feature)
    }
    for (const a of region.assets) {
      const place = placeOf(a, region)
      const state = states.get(a.id) ?? a.state ?? 'at_base'
      if (place === null || state === 'at_scene') continue
      const feature = new Feature(new Point(fromLonLat(place)))
      feature.setStyle(this.assetStyle(a.kind, state, picked?.assets.includes(a.id) ?? false, a.name))
      this.places.addFeature(feature)
    }
  }

  private facilityStyle(kind: string, chest: boolean, takes: boolean, wanted: boolean, name: string): Style[] {
    const p = this.p
    const edge = new Stroke({color: p.ink, width: wanted ? 2.5 : 1.25})
    if (kind === 'hospital') {
      const r = chest ? 9 : 7
      const square = new RegularShape({declutterMode: 'none', points: 4, radius: r, angle: Math.PI / 4, fill: new Fill({color: chest ? p.hospital : p.paper}), stroke: edge})
      const out = [new Style({image: square, text: this.label(name, wanted || chest, 15), zIndex: wanted ? 9 : chest ? 5 : 3})]
      if (!takes) {
        out.push(new Style({image: new RegularShape({declutterMode: 'none', points: 2, radius: r + 4, angle: Math.PI / 4, stroke: new Stroke({color: p.ink, width: 3})}), zIndex: 10}))
      }
      return out
    }
    if (kind === 'airfield') {
      return [new Style({image: new RegularShape({declutterMode: 'none', points: 4, radius: 6, radius2: 2, fill: new Fill({color: p.ink}), stroke: new Stroke({color: p.paper, width: 1})}),
        ...(wanted && {text: this.label(name, true, 12)}), zIndex: 2})]
    }
    return [new Style({image: new Circle({declutterMode: 'none', radius: wanted ? 5 : 2.5, fill: new Fill({color: wanted ? p.paper : p.quiet}), stroke: new Stroke({color: p.ink, width: wanted ? 2 : 0.75})}),
      ...(wanted && {text: this.label(name, true, 12)}), zIndex: wanted ? 8 : 1})]
  }

  private assetStyle(kind: string, state: string, used: boolean, name: string): Style {
    const p = this.p
    const busy = state === 'committed'
    const fill = new Fill({color: busy ? p.paper : p.vehicle})
    const stroke = new Stroke({color: p.ink, width: used ? 2.5 : 1, ...(busy && {lineDash: [2, 2]})})
    const image = inAir(kind)
      ? new RegularShape({declutterMode: 'none', points: 3, radius: used ? 9 : 7, fill, stroke, displacement: [0, 12]})
      : new RegularShape({declutterMode: 'none', points: 6, radius: used ? 7 : 4.5, fill, stroke, displacement: [0, -12]})
    return new Style({image, ...(used && {text: this.label(name, true, inAir(kind) ? -22 : 24)}), zIndex: used ? 7 : 4})
  }

  private label(text: string, strong: boolean, offsetY: number): Text {
    return new Text({
      text: short(text), offsetY, font: `${strong ? '600 ' : ''}12px system-ui, sans-serif`, overflow: true,
      fill: new Fill({color: this.p.ink}), stroke: new Stroke({color: this.p.paper, width: 3.5}),
    })
  }

  private drawWays({options, pick}: Seen): void {
    const p = this.p
    this.ways.clear(true)
    for (const o of options) {
      const picked = o.id === pick
      for (const a of o.activities) {
        if (a.path === undefined || (!picked && a.lane !== 'patient')) continue
        const line = (a.by === 'air' && a.path.length === 2 ? greatCircle(a.path[0]!, a.path[1]!) : a.path).map(c => fromLonLat(c))
        const f = new Feature(new MultiLineString([line]))
        f.set('picked', picked)
        const carries = a.lane === 'patient'
        const colour = picked ? (carries ? p.patient : p.vehicle) : p.dim
        const dash = a.by === 'air' ? [10, 7] : undefined
        const width = picked ? (carries ? 5 : 3) : 1.5
        f.setStyle([
          ...(picked ? [new Style({stroke: new Stroke({color: p.paper, width: width + 3}), zIndex: 4})] : []),
          new Style({stroke: new Stroke({color: colour, width, ...(dash !== undefined && {lineDash: dash}), lineCap: 'butt'}), zIndex: picked ? 5 : 1}),
        ])
        this.ways.addFeature(f)
      }
    }
  }

  /** A ring around the element that is looked at. */
  private drawMark(at: Position | null): void {
    if (at === null) return
    const ring = new Feature(new Point(fromLonLat(at)))
    ring.setStyle([
      new Style({image: new Circle({declutterMode: 'none', radius: 15, stroke: new Stroke({color: this.p.paper, width: 6})})}),
      new Style({image: new Circle({declutterMode: 'none', radius: 15, stroke: new Stroke({color: this.p.patient, width: 3, lineDash: [5, 3]})})}),
    ])
    this.scene.addFeature(ring)
    if (!containsCoordinate(this.map.getView().calculateExtent(), fromLonLat(at))) this.map.getView().setCenter(fromLonLat(at))
  }

  private drawScene(scene: Scene | null): void {
    const p = this.p
    this.scene.clear(true)
    this.moved.clear()
    if (scene === null) return
    const centre = fromLonLat(scene.position)
    if (scene.uncertainty_m > 0) {
      const around = new Feature(circular(scene.position, scene.uncertainty_m, 48).transform('EPSG:4326', 'EPSG:3857'))
      around.setStyle(new Style({stroke: new Stroke({color: p.patient, width: 1.5, lineDash: [3, 3]})}))
      this.scene.addFeature(around)
    }
    const mark = new Feature(new Point(centre))
    mark.setStyle([
      new Style({image: new Circle({declutterMode: 'none', radius: 12, stroke: new Stroke({color: p.paper, width: 6})})}),
      new Style({image: new Circle({declutterMode: 'none', radius: 12, fill: new Fill({color: 'rgba(0,0,0,0.01)'}), stroke: new Stroke({color: p.patient, width: 3.5})})}),
      new Style({image: new RegularShape({declutterMode: 'none', points: 4, radius: 18, radius2: 0, stroke: new Stroke({color: p.ink, width: 1.5})})}),
    ])
    this.scene.addFeature(mark)
    this.moved.push(mark)
  }
}

/** How long a piece of the map is: a round number of metres, at its middle. */
function drawRule(rule: HTMLElement, view: View): void {
  const centre = view.getCenter()
  const resolution = view.getResolution()
  if (centre === undefined || resolution === undefined) return
  const metres = getPointResolution('EPSG:3857', resolution, centre) * 120 // at most 120 px
  const power = 10 ** Math.floor(Math.log10(metres))
  const round = [5, 2, 1].map(n => n * power).find(n => n <= metres) ?? power
  rule.style.width = `${120 * round / metres}px`
  rule.textContent = round >= 1000 ? `${wholeNumber(round / 1000)} km` : `${wholeNumber(round)} m`
}

function lonLat(c: number[]): Position {
  const [lon = 0, lat = 0] = toLonLat(c)
  return [((lon + 540) % 360) - 180, lat]
}

/** A name that fits beside a mark, cut between characters as people see them. */
function short(name: string): string {
  const parts = [...name.replace(/\s+/g, ' ')]
  return parts.length <= 32 ? name : parts.slice(0, 30).join('') + '…'
}
