// Written from api/openapi.yaml and the schemas of the region's files by
// `go test ./api/web/typescript -update`. Do not edit.

/** The version of the interface. */
export type APIVersion = "v1"

/** Whether a hospital takes patients. */
export type AcceptingAction = {
  reason?: ActionReason
  /** `divert` is to send elsewhere if that is possible. */
  state: "open" | "divert" | "closed"
  until?: ActionUntil
}

/** Why, in a few words. Nothing about a patient belongs here. */
export type ActionReason = string

/** When the state ends by itself; until changed where it is not given. */
export type ActionUntil = string

/** One step. It starts when all steps in `after` have ended. Start and end are at typical durations; neighbours meet to the second. */
export type Activity = {
  /** The ids of the steps it waits for. */
  after: string[]
  /** The asset that does it, where one does. */
  asset?: string
  /** Where its duration comes from, in words. */
  basis: string
  /** Travel only: how it moves. */
  by?: "road" | "air"
  /** Whether any delay of it delays the surgeon. */
  critical: boolean
  /** Distance in metres, where it moves. */
  distance_m?: number
  /** End, in seconds after the decision time. */
  end_s: number
  /** Its name within the option. */
  id: string
  kind: ActivityKind
  lane: Lane
  /** Travel only: by air the two ends, to be drawn as a great circle; by road the corners too, as far as the estimate has any. An estimate, not a route to be followed. */
  path?: Position[]
  /** How many seconds it can slip without delaying the surgeon, rounded down. */
  slack_s: number
  /** Its length in seconds when it is slow: 9 in 10 are quicker. */
  slow_s: number
  /** Start, in seconds after the decision time. */
  start_s: number
}

/** What is being done. More may be added. */
export type ActivityKind = "committed" | "off_duty" | "mobilise" | "travel" | "refuel" | "stop" | "shuttle" | "team" | "wait" | "package" | "carry" | "load" | "unload" | "pad_to_door" | "handover" | "pre_alert" | "call_in" | "theatre" | "with_surgeon"

/** Elements that an import changes in one way. */
export type Affected = {
  /** How many. */
  count: number
  /** The ids of the first 1000. */
  ids: string[]
}

/** One default duration. */
export type Allowance = {
  /** When the source was published: a year, a month or a day. */
  date?: string
  /** Its name in settings and fleet files. */
  id: string
  mark: Mark
  /** The arithmetic from source to figure. */
  note?: string
  slow_mark: Mark
  /** What 9 in 10 stay under, in seconds. */
  slow_s: number
  /** Publication, or "assumption". */
  source: string
  /** The median in seconds. */
  typical_s: number
  /** What it covers. */
  what: string
}

/** Every way out, ranked, and the reasons against every pair that makes none. */
export type Answer = {
  api_version: APIVersion
  at: At
  at_local: AtLocal
  caution: Caution
  cautions: Cautions
  decide_by?: DecideBy
  found: Found
  night: Night
  /** Every pair of asset and hospital that makes no option, with all reasons. */
  not_possible: NotPossible[]
  /** The ways out, best first. */
  options: Option[]
  /** The chance that an option that was drawn and is not listed is the quickest. With the `quickest` of all that are listed it adds up to 1, but for rounding. */
  quickest_other: Chance
  rank_by: RankBy
  region: Region
  runner_up?: RunnerUp
  /** How many options were drawn: those listed, and the best others at typical durations. */
  sampled: number
  scene: Scene
  /** What the first option's total hangs on: one thing at a time is slow, and all else typical, in every option. The greatest change first; empty where there is no option. */
  sensitivity: Sensitivity[]
  /** The time to the surgeon that is aimed at, as asked. */
  target_s?: number
  until: Until
  versions: Versions
  weather: Weather
}

/** What was asked. */
export type Asked = "options" | "reach"

/** What an asset is. */
export type AssetKind = "ambulance" | "response_car" | "helicopter" | "aeroplane"

/** The decision time, UTC. Activities count seconds from it. */
export type At = string

/** Whether exactly the limit is still inside the window. */
export type AtLimit = "inside" | "outside"

/** The decision time in the region's local time. */
export type AtLocal = string

/** A surgeon or the theatre that cannot be had, whatever the rota says. */
export type AwayAction = {
  /** False says that it can be had again. */
  away?: boolean
  /** Whose surgeon; every surgeon where it is not given. */
  capability?: Word
  reason?: ActionReason
  until?: ActionUntil
  /** Who or what. */
  what: "surgeon" | "theatre"
}

/** A map of somebody else's, either at an address or in a file that is served here. */
export type BaseMap = {
  /** The path of its PMTiles file, read by ranges. */
  archive?: string
  /** Whose map it is, as text that is shown on it. */
  attribution?: string
  /** The deepest zoom with tiles; 0 where it is left out. */
  max_zoom?: number
  /** The least zoom with tiles; 0 where it is left out. */
  min_zoom?: number
  /** The address of its raster tiles, with `{z}`, `{x}` and `{y}` (or `{-y}`) in braces. */
  tile_url?: string
}

/** How busy assets are with the calls of `busy`, and whom to expect within each time then; over all situations by their shares. */
export type BusySummary = {
  /** What the figures rest on, a sentence each. */
  assumptions: string[]
  /** As asked. */
  calls_per_day: number
  /** How far off they can be, in words. */
  error_note: string
  /** Mean seconds of those who are reached. */
  mean_s: number | null
  /** How the shares were worked out, in words. */
  method: string
  reached: PlanningBand
  /** Of each asset that is sent anywhere, by its id. */
  shares: {
    /** Its id. */
    asset: string
    /** Share of the time that it is out on a call. */
    busy_share: number
    /** Calls that it takes. */
    calls_per_day: number
    /** What people call it. */
    name: string
    /** Mean seconds from its call until it is free again. */
    service_s: number
  }[]
  /** Share of the calls for which nobody of those looked at is free, or nobody ever is. */
  unanswered_share: number
  within: PlanningBands
}

/** A call, and the latest time to make it so that it is not what the patient waits for, at typical durations. Half of all journeys are quicker than typical: earlier is better. */
export type Call = {
  /** The latest time to call, UTC. */
  by: string
  /** The same in local time. */
  by_local: string
  /** The same in seconds after `worked_out_at`, rounded down. */
  by_s: number
  /** The id of the facility that is called; absent where it is not known. */
  facility?: string
  /** Its name. */
  facility_name?: string
  /** The id of the option's activity that waits for it. */
  for: string
  /** How late it is already when made at `worked_out_at`, in seconds. */
  late_s: number
  /** Whether it cannot wait. */
  now: boolean
  /** The call in one plain sentence. */
  sentence: string
  who: Callee
}

/** Who is called: the `surgeon`; the `theatre`; the `perfusionist`, apart from the theatre where the hospital lists one; the `shuttle`, a road vehicle to a pad away from the door; the `pad_guard`, who clears and guards the pad; the `receiving_team`; the `surgical_team`, which travels. */
export type Callee = "surgeon" | "theatre" | "perfusionist" | "shuttle" | "pad_guard" | "receiving_team" | "surgical_team"

/** The calls that the assets answer, for how busy they are with them (hypercube queueing model, for more than 12 assets its approximation), and what coverage is to be expected then. Calls are spread as the people are. */
export type Calls = {
  /** The ids of the assets that can be busy, all others being always free; all assets where it is not given. */
  assets?: string[]
  /** Calls per day of all cells. */
  calls_per_day: number
  /** How many assets are looked at for each cell, one after the other; each is a round over all cells. */
  depth?: number
  /** Minutes from a call until its asset is free again; the time of the engine's own mission, with the way back to the base, where it is not given. */
  service_min?: number
}

/** A place where an asset may be put; either a facility or a position. */
export type Candidate = {
  /** The id of a base of the region. */
  facility?: string
  /** What people call it. */
  name?: string
  position?: Position
}

/** How far the patient is carried. */
export type CarryDistance = {
  /** The distance in metres. */
  distance_m: number
}

/** One answer, what was chosen of it, and what was predicted beside what happened. */
export type Case = {
  asked: Asked
  at: At
  /** The option that was taken; absent: no choice was noted. */
  chosen?: string
  /** When, UTC. */
  chosen_at?: string
  /** Whether the region is an invented one. */
  demonstration: boolean
  /** The activities that ended, in the order of time. */
  happened: {
    /** When it ended, UTC. */
    at: string
    /** Seconds later than predicted; negative: earlier. */
    difference_s?: number
    /** When the chosen option has it end; absent: it has no such activity. */
    predicted_at?: string
    /** The activity's id. */
    what: string
  }[]
  id: CaseID
  /** When the question was asked, UTC. */
  made_at: string
  /** Why something of the answer could not be read. */
  note?: string
  /** The first three. */
  offered: {
    /** The option's id. */
    option: string
    total: Duration
    /** Predicted, typical, UTC. */
    with_surgeon_at: string
  }[]
  /** How many options the answer has. */
  options: number
  /** With the surgeon by the chosen option, typical, UTC. */
  predicted_at?: string
  /** The time that 9 in 10 stay under, UTC. */
  predicted_slow_at?: string
  /** Of the chosen option; absent: it was not offered. */
  rank?: number
  /** The region's name. */
  region: string
}

/** The id of a recorded answer. */
export type CaseID = string

/** The line every answer carries. Show it with the answer. */
export type Caution = string

/** What a person must look at before relying on this. */
export type Cautions = string[]

/** The sides of a cell in metres. */
export type CellSize = number

/** A chance from 0 to 1, to four decimals. */
export type Chance = number

/** The region with the change that was asked for, and what the change does. */
export type ChangedSummary = {
  busy?: BusySummary
  /** What the change does, in the order asked. */
  differences: DifferenceSummary[]
  /** What to expect over all situations with the change; missing where there is one. */
  expected?: {
    /** Mean seconds of those who are reached. */
    mean_s: number | null
    reached: PlanningBand
    within: PlanningBands
  }
  /** As asked; empty where it was not. */
  name: string
  /** In the order asked, with the change. */
  situations: SituationSummary[]
  versions: Versions
}

/** Which option was taken. */
export type ChoiceNote = {
  /** When it was chosen, years 1970 to 2200; now where it is not given. */
  at?: string
  /** The id of an option of the answer, of an asset where the question was of reach, or `other` for what was not offered. */
  option: string
}

/** What is known of the patient, in the order of the message. Numbers, times and words of fixed lists only, so that nobody's identity can stand in it. What is not given is told as not stated. */
export type Clinical = {
  /** Age in years, fractions for infants. The patient's `age_years` where it is not given; if both are, they agree. */
  age_years?: number
  /** When it happened, years 1970 to 2200. */
  incident_at?: string
  /** Where the injuries are. */
  injuries?: InjuryRegion[]
  mechanism?: Mechanism
  signs?: Signs
  treatment?: Treatment
}

/** Whether a crossing is closed. */
export type ClosedAction = {
  /** False reopens it. */
  closed: boolean
  /** Why, in a few words: needed to close it. */
  reason?: ActionReason
  until?: ActionUntil
}

/** Who brings the patient. */
export type Coming = {
  /** How the patient arrives. */
  by: "road" | "air"
  /** The asset whose team rides along. */
  escort?: NamedAsset
  /** Where a travelling surgical team comes from. */
  team?: Place
  /** What brings that team. */
  team_with?: NamedAsset
  /** What the patient arrives in. */
  vehicle?: NamedAsset
}

/** What is known of the weather. What is stated outright holds everywhere and comes before any report. With nothing at all, flights are timed in still air and minima are not checked; with something, what is not known is never taken as clear. */
export type Conditions = {
  /** The ceiling in feet above ground. */
  ceiling_ft?: number
  /** METAR, SPECI or TAF texts as they came. Each is of a station in the region's settings (`weather_stations` in `/v1/parameters`). The nearest station that says something about the time holds for a place. A group that cannot be read is named in `cautions` and counts as unknown. */
  reports?: WeatherReport[]
  /** The visibility in metres. */
  visibility_m?: number
  wind?: GivenWind
}

/** The hashes that answers name under their `versions`. */
export type ContentHashes = {
  /** Of the facilities. */
  facilities: string
  /** Of the fleet. */
  fleet: string
  /** Of all numbers, shipped and regional. */
  parameters: string
  /** Of the roads. */
  roads?: string
}

/** How many people are within how many minutes of a surgeon. With `cell_m`, a grid of cells of equal area over the polygons of `demand`, or over the region's land where it has none, with the people of its points in them; without, the points alone. */
export type CoverageQuestion = {
  busy?: Calls
  cell_m?: CellSize
  change?: RegionChange
  demand?: Demand
  /** Also look at what is best while the first asset is away; twice the work. */
  second?: boolean
  /** When, and how things stand then. With several, also what to expect over all of them by their shares. */
  situations: Situation[]
}

/** The figures of a question of coverage. A time that nobody reaches is null. */
export type CoverageSummary = {
  api_version: APIVersion
  at: At
  at_local: AtLocal
  busy?: BusySummary
  caution: Caution
  changed?: ChangedSummary
  /** What to expect over all situations by their shares; missing where there is one. */
  expected?: {
    /** Mean seconds of those who are reached. */
    mean_s: number | null
    reached: PlanningBand
    within: PlanningBands
  }
  places: PlanningPlaces
  region: Region
  /** In the order asked. */
  situations: SituationSummary[]
  versions: Versions
}

/** How late one activity can start. Seconds are rounded down. */
export type Deadline = {
  /** The id of the activity in the first option. */
  activity: string
  /** The asset that does it, where one does. */
  asset?: string
  /** From the planned start to the latest, in seconds. */
  delay_s: number
  kind: ActivityKind
  /** The same, UTC. */
  latest_start_at: string
  /** The same in the region's local time. */
  latest_start_local: string
  /** In seconds after the decision time: a later start makes the other option quicker. */
  latest_start_s: number
  /** The id of the option that is then the quickest; `limit` may have left it out. */
  overtaken_by: string
  /** The same in plain words. */
  sentence: string
}

/** The one of `until` that comes first; absent where nothing can overtake the first option. */
export type DecideBy = Deadline

/** Where people are: a GeoJSON FeatureCollection (RFC 7946). Points have the properties `people` (or `weight`; 1 where neither is given) and `name`; polygons and multipolygons are the area of a grid. */
export type Demand = {
  /** Points and polygons. */
  features: { [member: string]: unknown }[]
  /** Always FeatureCollection. */
  type: "FeatureCollection"
}

/** Of the feature for a hospital. */
export type DestinationProperties = {
  /** The facility's id. */
  facility: string
  /** Its name. */
  name: string
  /** The ids of the options that end here, best first. */
  options: string[]
  /** What the feature is. */
  role: "destination"
}

/** What differs between two versions. */
export type Difference = {
  /** The elements that differ. */
  changes: PastChange[]
  /** This version. */
  number: number
  /** The other version. */
  since: number
}

/** What a change does in one situation. Figures without `low` or `high` are at typical durations. Those with are what 1 and 9 in 10 of 4,096 draws stay below, in which durations vary by their causes (the roads, the air, each asset, each hospital), alike before and after and in all cells, so that what both share cancels. Each cell keeps the options that are first at typical durations. Errors of the region's own numbers and of the demand are not in them. */
export type DifferenceSummary = {
  /** Who comes within each time, and who falls out of it. */
  bands: {
    /** The same, at most in 9 of 10 draws. */
    gained_high: number
    /** Who comes within it less who falls out of it, at least in 9 of 10 draws. */
    gained_low: number
    /** People within it with the change. */
    people_after: number
    /** People within it at present. */
    people_before: number
    /** Who comes within it. */
    people_gained: number
    /** Who falls out of it. */
    people_lost: number
    /** Seconds. */
    within_s: number
  }[]
  /** The same in draws. */
  mean_gain_high_s: number | null
  /** The same in draws. */
  mean_gain_low_s: number | null
  /** How much sooner people are with a surgeon in the mean, of those reached before and after. */
  mean_gain_s: number | null
  /** As asked, or its number. */
  name: string
  /** Who is later. */
  people_later: number
  /** Who is with a surgeon sooner, by any amount. */
  people_sooner: number
  /** Names of its results. */
  results: string[]
  /** As asked. */
  share: number
}

/** A spread in whole seconds. */
export type Duration = {
  /** What 9 in 10 stay under, in seconds. */
  slow_s: number
  /** The median in seconds. */
  typical_s: number
}

/** What has happened, in the order in which it happens to one asset. */
export type Event = "lifted" | "at_scene" | "patient_loaded" | "left_scene" | "at_hospital" | "handed_over" | "alerted"

/** Hospitals, landing sites, airfields and bases as an RFC 7946 FeatureCollection. Positions are [longitude, latitude] in degrees on WGS 84. Durations are in seconds, given by two numbers: typical (the median) and slow (9 in 10 are quicker). Members of properties that are not described here are kept and ignored; a member that is null counts as absent, because many map programs write empty columns as null. */
export type FacilitiesFile = {
  /** One feature for each facility, in any order. */
  features: FacilitiesFileFeature[]
  type: "FeatureCollection"
}

/** Whether the hospital takes patients just now. Left out: open. */
export type FacilitiesFileAccepting = {
  /** Why, in a few words. */
  reason?: string
  /** open, divert (send elsewhere if that is possible) or closed. */
  state: "open" | "divert" | "closed"
  /** When the state ends, with its zone; after it the hospital counts as open. Left out: until changed. */
  until?: string
}

/** What cannot be had just now, whatever the rotas say, hospitals only. Left out: everything is as the rotas say. */
export type FacilitiesFileAway = ({
  /** Surgeon: the capability whose surgeon is away. Left out: every surgeon of the hospital. */
  capability?: string
  /** Why, in a few words. */
  reason?: string
  /** When it can be had again, with the zone; from then on the rotas hold. Left out: until changed. */
  until?: string
  /** surgeon or theatre. */
  what: "surgeon" | "theatre"
})[]

/** On call only: from the call until the surgeon is ready at the table. Left out: the regional default. */
export type FacilitiesFileCallIn = FacilitiesFileTiming

/** The ground free of obstacles that a helicopter has for landing. A helicopter needs twice its D-value both ways, and by night on a site that is not surveyed four times its D-value in length (AMC1 SPA.HEMS.125(b)(4)). Left out: no limit stated. */
export type FacilitiesFileClearArea = {
  /** Its longer side in metres, more than 0 and at most 1000. */
  length_m: number
  /** Whether it has been surveyed for landing by night. Left out: false. */
  surveyed?: boolean
  /** Its shorter side in metres, more than 0 and at most 1000. */
  width_m: number
}

/** The local date on which the exception starts. */
export type FacilitiesFileDate = string

/** The weekdays on which the window starts. */
export type FacilitiesFileDays = ("mon" | "tue" | "wed" | "thu" | "fri" | "sat" | "sun")[]

/** One facility. Its position is the hospital's door (ambulance entrance), the middle of the landing surface, or where a base's vehicles stand. */
export type FacilitiesFileFeature = {
  /** A GeoJSON Point: longitude first, then latitude, in degrees; a height in metres may follow. */
  geometry: {
    coordinates: FacilitiesFilePosition
    type: "Point"
  }
  /** The name by which requests, the fleet file and answers refer to this facility. Unique in the file; do not change it later. */
  id: string
  properties: FacilitiesFileProperties
  type: "Feature"
}

/** Local time of day at which it starts, 00:00 to 23:59. */
export type FacilitiesFileFrom = string

/** Opening by the hours of the week and by date, in the facility's local time; precedence as for presence. Left out: always open. */
export type FacilitiesFileHoursRota = {
  exceptions?: {
    date: FacilitiesFileDate
    from?: FacilitiesFileFrom
    state: FacilitiesFileState
    to?: FacilitiesFileTo
  }[]
  otherwise: {
    state: FacilitiesFileState
  }
  weekly?: {
    days: FacilitiesFileDays
    from: FacilitiesFileFrom
    state: FacilitiesFileState
    to: FacilitiesFileTo
  }[]
}

export type FacilitiesFileInPad = unknown

/** Whether it is lit for landing at night. Left out: false. */
export type FacilitiesFileLit = boolean

/** Largest helicopter it takes, by D-value (largest overall dimension with rotors turning) in metres, more than 0 and at most 100. Left out: no limit stated. */
export type FacilitiesFileMaxDValueM = number

/** Largest mass it bears in kilograms, more than 0 and at most 1000000. Left out: no limit stated. */
export type FacilitiesFileMaxMassKg = number

/** Another aircraft stands there. Left out: it is free. */
export type FacilitiesFileOccupied = {
  /** When the surface is free again, with the zone. */
  until: string
}

export type FacilitiesFileOnlyAirfield = unknown

export type FacilitiesFileOnlyGround = unknown

export type FacilitiesFileOnlyHospital = unknown

export type FacilitiesFileOnlySite = unknown

/** The hospital's landing place. A hospital without a pad is reached by road only. */
export type FacilitiesFilePad = {
  /** Whether aircraft fuel can be had on the pad. Left out: false. */
  fuel?: boolean
  hours?: FacilitiesFileHoursRota
  lit?: FacilitiesFileLit
  max_d_value_m?: FacilitiesFileMaxDValueM
  max_mass_kg?: FacilitiesFileMaxMassKg
  occupied?: FacilitiesFileOccupied
  /** Where the pad is, if away from the door. Left out: at the hospital's own position. */
  position?: FacilitiesFilePosition
  /** With vehicle_needed: from calling that vehicle until it is at the pad. Left out: the regional default. */
  shuttle_call?: FacilitiesFileTiming
  /** From the aircraft's side to the door. Left out: the regional default. */
  to_door?: FacilitiesFileTiming
  /** Whether a road vehicle must take the patient across. Left out: false. */
  vehicle_needed?: boolean
}

/** [longitude, latitude] in degrees on WGS 84, optionally with a height in metres as third number. The numbers are checked by the program, which also says when they seem to be swapped. */
export type FacilitiesFilePosition = unknown[]

/** Where the surgeon is: resident (in the hospital), on_call (comes in after being called) or absent (nobody covers these hours). */
export type FacilitiesFilePresence = "resident" | "on_call" | "absent"

/** Presence by the hours of the week and by date, in the facility's local time. An exception wins over a weekly window, a weekly window over otherwise; of windows that overlap, the first in the list wins. */
export type FacilitiesFilePresenceRota = {
  exceptions?: {
    call_in?: FacilitiesFileCallIn
    date: FacilitiesFileDate
    from?: FacilitiesFileFrom
    presence: FacilitiesFilePresence
    to?: FacilitiesFileTo
  }[]
  otherwise: {
    call_in?: FacilitiesFileCallIn
    presence: FacilitiesFilePresence
  }
  weekly?: {
    call_in?: FacilitiesFileCallIn
    days: FacilitiesFileDays
    from: FacilitiesFileFrom
    presence: FacilitiesFilePresence
    to: FacilitiesFileTo
  }[]
}

export type FacilitiesFileProperties = {
  accepting?: FacilitiesFileAccepting
  away?: FacilitiesFileAway
  /** What the hospital can do, hospitals only. An open vocabulary: a word that is not known gets a warning. */
  capabilities?: unknown[]
  clear_area?: FacilitiesFileClearArea
  /** Landing sites, airfields and bases: whether aircraft fuel can be had. Left out: false. */
  fuel?: boolean
  /** From the door until the patient is handed over, hospitals only. Left out: the regional default. */
  handover?: FacilitiesFileTiming
  hours?: FacilitiesFileHoursRota
  /** What it is. The kind decides which other members may be given. */
  kind: "hospital" | "landing_site" | "airfield" | "base"
  lit?: FacilitiesFileLit
  max_d_value_m?: FacilitiesFileMaxDValueM
  max_mass_kg?: FacilitiesFileMaxMassKg
  /** The name people use, 1 to 200 characters. */
  name: string
  occupied?: FacilitiesFileOccupied
  pad?: FacilitiesFilePad
  /** Landing sites and airfields: whether a road vehicle can come alongside. Left out: false. */
  road_access?: boolean
  /** Airfields: runway length in metres, more than 0 and at most 10000. Left out: not known. */
  runway_m?: number
  /** For each capability, when its surgeon is present, hospitals only. Needed for cardiothoracic_surgery and paediatric_cardiothoracic_surgery. */
  surgeons?: { [member: string]: unknown }
  /** How soon a theatre is ready, hospitals only. Left out: the regional default. */
  theatre?: FacilitiesFileTheatreRota
  /** IANA time zone in which hours and dates are meant. Left out: the region's. */
  time_zone?: string
}

/** From the pre-alert until a theatre with its team and perfusionist is ready. Left out: the regional default. */
export type FacilitiesFileReady = FacilitiesFileTiming

/** Whether it can be used. */
export type FacilitiesFileState = "open" | "closed"

/** Theatre readiness by the hours of the week and by date, in the facility's local time; precedence as for presence. */
export type FacilitiesFileTheatreRota = {
  exceptions?: {
    date: FacilitiesFileDate
    from?: FacilitiesFileFrom
    ready?: FacilitiesFileReady
    to?: FacilitiesFileTo
  }[]
  otherwise: {
    ready?: FacilitiesFileReady
  }
  weekly?: {
    days: FacilitiesFileDays
    from: FacilitiesFileFrom
    ready?: FacilitiesFileReady
    to: FacilitiesFileTo
  }[]
}

/** A duration in seconds by two numbers, 0 to 172800 (two days). */
export type FacilitiesFileTiming = {
  /** Seconds within which 9 in 10 are done; at least typical_s. */
  slow_s: number
  /** The median in seconds: half are quicker. */
  typical_s: number
}

/** Local time of day at which it ends, 00:00 to 24:00; at or before "from" it is on the next day. */
export type FacilitiesFileTo = string

/** One thing that has happened to one asset, or at one hospital. */
export type Fact = {
  /** The asset's id; left out where a hospital was `alerted`. */
  asset?: string
  /** When, not after the decision time and at most 24 hours before it. */
  at: string
  event: Event
  /** The hospital's id, with `at_hospital`, `handed_over` and `alerted` only. */
  facility?: string
}

/** When an activity has ended. */
export type FactNote = {
  /** When it ended: from a day before the decision time to seven days after it. */
  at: string
  /** The id of an activity of the answer, such as `mobilise`, or `with_surgeon`. */
  what: string
}

/** The scene, a destination or a leg. */
export type Feature = {
  /** Flights are great circles in steps of at most 10 km, roads straight from corner to corner; both are cut at the antimeridian. */
  geometry: Point | LineString | MultiLineString
  /** `scene`, `destination/<facility>` or `leg/<option>/<activity>`. */
  id: string
  properties: SceneProperties | DestinationProperties | LegProperties
  /** Fixed by RFC 7946. */
  type: "Feature"
}

/** The answer for a map (RFC 7946). What is no geometry stands beside the features. */
export type FeatureCollection = {
  api_version: APIVersion
  at: At
  at_local: AtLocal
  caution: Caution
  cautions: Cautions
  decide_by?: DecideBy
  /** The scene, then the destinations, then the legs of the options, best first. */
  features: Feature[]
  found: Found
  night: Night
  rank_by: RankBy
  region: Region
  runner_up?: RunnerUp
  /** Fixed by RFC 7946. */
  type: "FeatureCollection"
  until: Until
  versions: Versions
  weather: Weather
}

/** The region's assets. Members whose names start with x_ are not read. */
export type FleetFile = {
  "$schema"?: string
  /** The assets, in any order. */
  assets: FleetFileAsset[]
}

/** A vehicle with its crew. */
export type FleetFileAsset = {
  /** Its own durations in place of the region's, by allowance id. */
  allowances?: {
    /** From cruise to standing at the apron: approach, landing and taxi. */
    aeroplane_approach?: FacilitiesFileTiming
    /** From ready to leave the apron to cruise: start-up, taxi, line-up and climb. */
    aeroplane_departure?: FacilitiesFileTiming
    /** From calling a surgeon on call at home until ready at the table. */
    call_in?: FacilitiesFileTiming
    /** From where the patient lies to the vehicle, by hand. */
    carry?: FacilitiesFileTiming
    /** A team from the scene takes its seats in another vehicle. */
    escort_join?: FacilitiesFileTiming
    /** From the patient at the door until the receiving team has taken over. */
    handover?: FacilitiesFileTiming
    /** From cruise to landed at a prepared pad or site. */
    helicopter_approach?: FacilitiesFileTiming
    /** From cruise to landed at a scene, reconnaissance included. */
    helicopter_approach_scene?: FacilitiesFileTiming
    /** From lift-off to cruise. */
    helicopter_departure?: FacilitiesFileTiming
    /** Engine start where the rotors were stopped, at a scene or a site. */
    helicopter_start?: FacilitiesFileTiming
    /** From beside the aeroplane until ready to start engines. */
    load_aeroplane?: FacilitiesFileTiming
    /** From beside the ambulance until ready to move off. */
    load_ambulance?: FacilitiesFileTiming
    /** From beside the helicopter until ready to lift off, rotors turning. */
    load_helicopter_running?: FacilitiesFileTiming
    /** From beside the helicopter until ready to start engines, rotors stopped. */
    load_helicopter_stopped?: FacilitiesFileTiming
    /** From the call to the crew until ready to leave the apron, by day. */
    mobilise_aeroplane_day?: FacilitiesFileTiming
    /** From the call to the crew until ready to leave the apron, by night. */
    mobilise_aeroplane_night?: FacilitiesFileTiming
    /** From the call to the crew until the ambulance moves, by day. */
    mobilise_ambulance_day?: FacilitiesFileTiming
    /** From the call to the crew until the ambulance moves, by night. */
    mobilise_ambulance_night?: FacilitiesFileTiming
    /** From the call to the crew until lift-off, engine start included, by day. */
    mobilise_helicopter_day?: FacilitiesFileTiming
    /** From the call to the crew until lift-off, engine start included, by night. */
    mobilise_helicopter_night?: FacilitiesFileTiming
    /** From the call to the crew until the car moves, by day. */
    mobilise_response_car_day?: FacilitiesFileTiming
    /** From the call to the crew until the car moves, by night. */
    mobilise_response_car_night?: FacilitiesFileTiming
    /** From a team being with the patient until the chest is open. */
    open_chest?: FacilitiesFileTiming
    /** Treat the patient and make ready to move. */
    package?: FacilitiesFileTiming
    /** From beside the helicopter on the pad to the door, on foot. */
    pad_to_door?: FacilitiesFileTiming
    /** From beside the helicopter on the pad to the door, by road vehicle. */
    pad_to_door_vehicle?: FacilitiesFileTiming
    /** From the decision until the receiving hospital has been told. */
    pre_alert?: FacilitiesFileTiming
    /** A stop for fuel on the ground, engines stopped for it and started again. */
    refuel?: FacilitiesFileTiming
    /** A stop for fuel on the ground with engines running. */
    refuel_running?: FacilitiesFileTiming
    /** From calling a road vehicle to a pad away from the door until it is there. */
    shuttle_call?: FacilitiesFileTiming
    /** A stop at a nearer hospital for blood or control of bleeding. */
    stop_at_hospital?: FacilitiesFileTiming
    /** A travelling surgical team leaves the vehicle with its kit. */
    team_alight?: FacilitiesFileTiming
    /** A travelling surgical team takes its seats with its kit. */
    team_board?: FacilitiesFileTiming
    /** From the surgeon being in the hospital until the team can leave with its kit. */
    team_ready?: FacilitiesFileTiming
    /** A travelling surgical team from the door until at the table. */
    team_scrub?: FacilitiesFileTiming
    /** From the pre-alert until theatre, team and perfusionist are ready. */
    theatre_ready?: FacilitiesFileTiming
    /** From standing at the apron until the patient is beside the aeroplane. */
    unload_aeroplane?: FacilitiesFileTiming
    /** From standing still until the patient is beside the ambulance. */
    unload_ambulance?: FacilitiesFileTiming
    /** From landed until the patient is beside the helicopter, rotors turning. */
    unload_helicopter_running?: FacilitiesFileTiming
    /** From landed until the patient is beside the helicopter, engines shut down first. */
    unload_helicopter_stopped?: FacilitiesFileTiming
    /** A patient is winched up: lowering, packaging in the stretcher and hoisting. */
    winch?: FacilitiesFileTiming
    /** A team is lowered to the patient by winch. */
    winch_lower?: FacilitiesFileTiming
  }
  /** Id of the facility it mobilises from. May be left out where position is given. */
  base?: string
  /** Aircraft: true airspeed in cruise. Knots. Default: the region's, for its kind. */
  cruise_kt?: number
  /** Helicopters: D-value, the largest dimension with rotors turning. Metres. Left out: not stated. */
  d_value_m?: number
  /** Aircraft: flying time on full fuel, the final reserve included. Seconds. Left out: not stated, and fuel is not checked. */
  endurance_s?: number
  /** Seats for a team that rides along, beyond its own crew. Default: 0. */
  escort_seats?: number
  /** When a committed asset is free again. Left out: not known. */
  free_at?: string
  /** Aircraft: flying time on the fuel on board now, at most endurance_s. Seconds. Left out: full. */
  fuel_s?: number
  /** Aircraft: takes fuel with engines running and the patient on board. Default: false. */
  hot_refuel?: boolean
  /** When it has a crew, in local time. Left out: always. */
  hours?: FacilitiesFileHoursRota
  /** Aircraft: may fly where ice can form. Default: false. */
  icing_cleared?: boolean
  /** The name by which requests and answers refer to this asset. Unique in the fleet; do not change it later. */
  id: string
  /** What it is. A response car brings a team and carries no patient. */
  kind: "ambulance" | "response_car" | "helicopter" | "aeroplane"
  /** Aircraft: mass at landing. Kilograms. Left out: not stated. */
  mass_kg?: number
  /** Aircraft: id of its table of weather minima, a shipped one (spa_hems_120, spa_hems_120_class_3, us_135_609) or the region's own. Left out: the weather's ceiling and visibility never rule it out. */
  minima?: string
  /** Aircraft: its class of area, for minima that tell areas apart, such as mountainous_local in us_135_609. */
  minima_area?: string
  /** From the call to the crew until it moves (aircraft: until lift-off). Default: the region's, for its kind. */
  mobilise?: {
    day?: FacilitiesFileTiming
    night?: FacilitiesFileTiming
  }
  /** The name people use, 1 to 200 characters. */
  name: string
  /** Aircraft: may fly between evening and morning civil twilight. Default: false. */
  night_flying?: boolean
  /** Aircraft: flies with approved night vision or terrain warning, for minima that tell it apart. Default: false. */
  night_vision?: boolean
  /** Aircraft: pilots in its crew. Default: 1. */
  pilots?: number
  /** Where it is, or will be when free: longitude, latitude in degrees (WGS 84). Left out: at its base. */
  position?: [number, number]
  /** Road vehicles: its own speeds. */
  road?: {
    /** Mean acceleration, bends and junctions included. Kilometres per hour gained in a minute. Default: the region's. */
    acceleration_kmh_per_min?: number
    /** Cruise speed. Kilometres per hour. Default: the region's. */
    cruise_kmh?: number
  }
  /** Helicopters: loads and unloads with rotors turning. Default: false. */
  rotors_turning?: boolean
  /** Aeroplanes: shortest runway it uses. Metres. Left out: not stated. */
  runway_m?: number
  /** What somebody in its crew can do, such as physician, paramedic, nurse, anaesthetist, surgeon, thoracotomy, blood, winch. Other words are allowed. */
  skills?: string[]
  /** What it is doing at the decision time. Default: at_base. */
  state?: "at_base" | "at_scene" | "moving" | "committed"
  /** IANA time zone of its hours. Left out: its base's, else the region's. */
  time_zone?: string
  /** When the state ends by itself, with the zone; from then on the asset counts as at its base. Left out: until changed. */
  until?: string
}

/** How many options there are; `limit` may have cut the list. */
export type Found = number

/** A wind that holds everywhere. */
export type GivenWind = {
  /** Where it blows from, in degrees from true north. */
  from_deg: number
  /** Its highest gust in knots, not less than the speed. */
  gust_kt?: number
  /** Its mean speed in knots. */
  speed_kt: number
}

/** No flight, a caution, or nothing. */
export type Hazard = "exclude" | "caution" | "ignore"

/** A page of the history. */
export type History = {
  /** The newest first. */
  entries: PastEdit[]
  /** `before` of the next page; absent where there is none. */
  next?: number
}

/** What an import changed, or would. */
export type Import = {
  /** Whether something but the elements changes. */
  beside: boolean
  changed: Affected
  created: Affected
  deleted: Affected
  /** Whether nothing was changed. */
  dry_run: boolean
  /** What would be wrong, at most 50. */
  faults: ProblemFault[]
  /** The file's name. */
  file: string
  /** The number of the version that it made. */
  version?: number
}

/** The routes. */
export type Index = {
  /** The program's build. */
  build?: string
  caution: Caution
  /** The program. */
  name: string
  /** What is served. */
  routes: ({
    /** The HTTP method. */
    method: string
    /** The path; parts in braces are filled in. */
    path: string
    /** The least role that it needs where there is access control; without it, none. */
    role?: "reader" | "desk" | "editor" | "admin"
    /** What it is for. */
    summary?: string
  })[]
}

/** A region of the body that is injured. */
export type InjuryRegion = "chest_left" | "chest_right" | "chest_central" | "abdomen" | "neck" | "head" | "pelvis" | "limb"

/** A time after the decision in seconds, rounded up, with its clock times. */
export type Instant = {
  /** In seconds after the decision time. */
  after: Duration
  /** Typically at, UTC. */
  at: string
  /** The same in the region's local time. */
  at_local: string
  /** When 9 in 10 draws are done, UTC. */
  slow_at: string
  /** The same in the region's local time. */
  slow_local: string
}

/** One thing of a section. */
export type Item = {
  /** Which, as in the question where it comes from there. */
  name: string
  /** Whether it was stated. */
  stated: boolean
  /** In words; `not stated` where nobody has said. */
  text: string
}

/** What takes longer than a request may. */
export type Job = {
  /** How many jobs wait before it. */
  ahead?: number
  /** When it was asked for. */
  asked_at: string
  /** Who asked. */
  asked_by: string
  /** When it was begun last. */
  began_at?: string
  /** Why it has failed. */
  detail?: string
  /** What is being done now. */
  doing?: string
  /** When it ended. */
  ended_at?: string
  /** Its id. */
  id: string
  /** What was asked for. */
  kind: "coverage" | "siting"
  /** Share that is done, 0 to 1. */
  progress: number
  /** What has come of it. */
  results: JobResult[]
  /** How often it was begun. */
  starts: number
  /** A job that is `running` when the service ends is begun again, at most three times in all. `done`, `failed` and `cancelled` are the end of it. */
  state: "waiting" | "running" | "done" | "failed" | "cancelled"
}

/** A file that a job has made. */
export type JobResult = {
  /** How long it is. */
  bytes: number
  /** What it is. */
  media_type: string
  /** Its name. */
  name: string
  /** Where to get it. */
  path: string
}

/** Jobs, the newest first. */
export type Jobs = {
  /** The jobs. */
  jobs: Job[]
}

/** What is kept of one answer. */
export type Kept = {
  /** The answer as JSON. */
  answer: { [member: string]: unknown }
  /** SHA-256 of the answer's bytes as they were sent as JSON. */
  answer_sha256: string
  asked: Asked
  at: At
  /** In the order they were noted; the last counts. */
  choices: {
    /** When it was chosen, UTC. */
    at: string
    /** When it was noted, UTC. */
    noted_at: string
    /** As in ChoiceNote. */
    option: string
  }[]
  /** The files the answer was made from, all of which are kept with it. */
  data: {
    /** The file's name; `parameters.json` has every number of the model. */
    name: string
    /** SHA-256 of its content. */
    sha256: string
  }[]
  /** In the order they were noted; of one activity the last counts. */
  facts: {
    /** When it ended, UTC. */
    at: string
    /** When it was noted, UTC. */
    noted_at: string
    /** As in FactNote. */
    what: string
  }[]
  id: CaseID
  /** The clock when the question was asked, UTC, to the nanosecond: it stands in for what the question leaves out. */
  made_at: string
  /** The body of the question. Of one asked in a query, the body that asks the same. */
  question: { [member: string]: unknown }
  unreadable: Unreadable
  /** What the answer says it was made from. */
  versions: { [member: string]: unknown }
}

/** Whether a helicopter can land beside the patient. */
export type Landing = "possible" | "impossible" | "unknown"

/** Who is doing it. The three run in parallel and meet. */
export type Lane = "vehicle" | "patient" | "hospital"

/** Of the feature for one leg of an option. Members are as in Option and Activity. */
export type LegProperties = {
  /** The activity's id. */
  activity: string
  /** The asset's id. */
  asset?: string
  /** Where its duration comes from, in words. */
  basis: string
  /** How it moves. A road drawn without corners is an estimate, not a route. */
  by: "road" | "air"
  /** Whether any delay of it delays the surgeon. */
  critical: boolean
  /** Distance in metres. */
  distance_m?: number
  /** End, in seconds after the decision time. */
  end_s: number
  kind: ActivityKind
  lane: Lane
  /** The option's id. */
  option: string
  /** The option's rank. */
  rank: number
  /** What the feature is. */
  role: "leg"
  shape: Shape
  /** Start, in seconds after the decision time. */
  start_s: number
  total: Duration
}

/** A line. */
export type LineString = {
  /** Its points. */
  coordinates: Position[]
  /** Fixed by RFC 7946. */
  type: "LineString"
}

/** How far the number can be trusted: `read` in the source named, quoted from `memory`, `derived` from numbers in the source, an `assumption`, or the `region`'s own with its source. */
export type Mark = "read" | "memory" | "derived" | "assumption" | "region"

/** What happened. */
export type Mechanism = "stab" | "gunshot" | "blunt_fall" | "blunt_traffic" | "crush" | "blast" | "burn" | "other"

/** A JSON merge patch (RFC 7396). A member that is null is removed. */
export type MergePatch = { [member: string]: unknown }

/** What a table changed in a list, or would. */
export type MergedTable = {
  /** Whether something but the elements changes. */
  beside: boolean
  changed: Affected
  created: Affected
  deleted: Affected
  /** Whether nothing was changed. */
  dry_run: boolean
  /** What would be wrong with the region, at most 50. */
  faults: ProblemFault[]
  /** The file's name. */
  file: string
  /** How the table was read, where that is not plain. */
  notes: string[]
  /** What is wrong with the table; then nothing is merged. */
  rows: {
    /** The column's name. */
    column?: string
    /** What is wrong and the fix. */
    detail: string
    /** The id of the row. */
    id?: string
    /** The line. */
    line?: number
  }[]
  /** Rows that say what the list says already. */
  unchanged: number
  /** The number of the version that it made. */
  version?: number
}

/** A table of weather minima with where it comes from. */
export type Minima = {
  /** Which edition of the rule. */
  edition: string
  /** Its name in fleet files. */
  id: string
  /** What it is for. */
  label: string
  mark: Mark
  /** What is uncertain or filled in. */
  note?: string
  /** The rule it is from. */
  regulation: string
  /** A row applies when every condition it states is met; where several do, any one is enough. */
  rows: ({
    /** Only with approved night vision or terrain warning. */
    aided?: boolean
    /** Only in this class of area; absent: any. */
    area?: string
    /** Least ceiling in feet above ground. */
    ceiling_ft: number
    /** Crews of that many pilots; absent: any. */
    pilots?: number
    /** Least visibility in metres. */
    visibility_m: number
    /** By which light, at the place and time of take-off or landing. */
    when: "day" | "night"
  })[]
  /** Where it was read. */
  source: string
}

/** A line cut at the antimeridian. */
export type MultiLineString = {
  /** Its pieces. */
  coordinates: Position[][]
  /** Fixed by RFC 7946. */
  type: "MultiLineString"
}

/** An asset with its name. */
export type NamedAsset = {
  /** The asset's id. */
  asset: string
  /** Its name. */
  name: string
}

/** Whether the decision time lies between evening and morning civil twilight at the scene. */
export type Night = boolean

/** An asset and a hospital that make no option. */
export type NotPossible = {
  /** The asset's id. */
  asset: string
  /** The facility's id. */
  destination: string
  /** Everything that rules it out. */
  reasons: Reason[]
  shape: Shape
}

/** When the chest is open, against the window. */
export type Opening = {
  /** In seconds after the decision time. */
  after: Duration
  /** Typically at, UTC. */
  at: string
  /** The same in the region's local time. */
  at_local: string
  /** The chance that it is, to four decimals. */
  chance: number
  /** Whether the chest is open within the window. */
  in_window: boolean
  /** The same at the slow time. */
  in_window_if_slow: boolean
  /** What is left of the window in seconds, rounded down; negative: too late. */
  margin_s: number
  /** The same at the slow time. */
  margin_slow_s: number
  /** When 9 in 10 draws are done, UTC. */
  slow_at: string
  /** The same in the region's local time. */
  slow_local: string
}

/** One way from scene to surgeon. */
export type Option = {
  /** Its steps in order of start. */
  activities: Activity[]
  /** The ids of all assets it uses, the carrying one first. */
  assets: string[]
  cautions: Cautions
  /** The hospital it ends at. */
  destination: Place
  /** By aeroplane: the airfield it lands at. */
  far_field?: Place
  /** What the time hangs on, in words. */
  held_up_by?: string
  /** Stable for the same shape, assets and destination. */
  id: string
  /** When the patient leaves the scene, UTC: at typical durations, or as it happened. Absent where they have left and the question does not say when. */
  leave_scene_at?: string
  /** The same in the region's local time. */
  leave_scene_local?: string
  /** Where the patient changes vehicle; absent where they do not. */
  meeting?: Place
  /** Its place, from 1. */
  rank: number
  /** The option in one plain sentence. */
  sentence: string
  shape: Shape
  /** From `output_lost_at` until then; absent where the question does not have it. */
  since_output_lost?: Duration
  /** From `output_regained_at` until then; absent where the question does not have it. */
  since_output_regained?: Duration
  spread: TotalSpread
  /** The surgeon travels: the hospital the surgical team comes from. */
  team_from?: Place
  /** From the decision time until patient, surgeon and theatre are together: typical with every step typical, slow as 9 in 10 draws of all steps stay under. */
  total: Duration
  /** How often the patient changes vehicle. */
  transfers: number
  /** The nearer hospital of the stop, where there is one. */
  via?: Place
  /** When the surgeon has the patient, UTC, at typical durations. */
  with_surgeon_at: string
  /** The same in the hospital's local time. */
  with_surgeon_local: string
}

/** The heart's output: `present` was never lost; `lost` has not been regained since; `regained` was lost before. */
export type Output = "present" | "lost" | "regained"

/** One number that is no duration. */
export type Parameter = {
  /** When the source was published: a year, a month or a day. */
  date?: string
  /** Its name. */
  id: string
  mark: Mark
  /** The arithmetic from source to figure. */
  note?: string
  /** Publication, or "assumption". */
  source: string
  /** The unit; "1" for a pure number. */
  unit: string
  /** The number in the unit named. */
  value: number
  /** What it means. */
  what: string
}

/** Every number of the model. */
export type Parameters = {
  /** The durations, in order of id. */
  allowances: Allowance[]
  /** As in an answer's versions. */
  hash: string
  /** What dangerous weather does to a flight. */
  hazards: {
    /** Freezing precipitation or fog, for aircraft that are not cleared for icing. */
    freezing: Hazard
    /** Where ice can form, for aircraft that are not cleared for icing. */
    icing_possible: Hazard
    /** Thunderstorm or cumulonimbus. */
    thunderstorm: Hazard
  }
  /** The tables of weather minima, the shipped ones first. An asset names the one its crew keeps. */
  minima: Minima[]
  /** The other numbers, in order of id. */
  parameters: Parameter[]
  region: Region
  /** The places whose reports can be used, in order of code. */
  weather_stations: {
    /** The code in its reports. */
    code: string
    position: Position
  }[]
}

/** One element that an edit changed. */
export type PastChange = {
  /** create, replace, change, delete, import, restore, expire, accept, divert, close, reopen, away, back, state. */
  action: string
  /** As it stands then; absent where it is gone. */
  after?: { [member: string]: unknown } | unknown[] | string | number | boolean | null
  /** As it stood in the file; absent where it was not there. */
  before?: { [member: string]: unknown } | unknown[] | string | number | boolean | null
  /** Its id; absent for the file as a whole. */
  element?: string
  /** The file it is in. */
  file: string
}

/** One version, with what it changed. */
export type PastEdit = {
  /** When it was made. */
  at: string
  /** What it changed, at most 50 elements. */
  changes: PastChange[]
  /** All files of the version. */
  files?: RegionFile[]
  /** How many elements beyond these. */
  more?: number
  /** Its number, from 1 without gaps. */
  number: number
  versions?: ContentHashes
  /** Who made it: the name of a token, `expiry`, or `file` for an editor in the folder. */
  who: string
  /** The reason. */
  why?: string
}

/** What matters of the patient for the choice. Never who it is. */
export type Patient = {
  /** Age in years, fractions for infants. Taken as an adult where it is not given. */
  age_years?: number
  /** A skill that must ride along. A crew that has it, or a team from the scene with a free seat, will do. */
  escort?: Word
  /** Capabilities the hospital must have; surgery inside the chest where none is given. */
  needs?: Word[]
  /** From the decision until treated and packaged for the move. The region's default where it is not given. */
  ready_in?: Spread
  /** A stop at a nearer hospital for blood or control of bleeding. The region's default where it is not given. */
  stop?: Spread
}

/** A facility that a way out ends at or passes. */
export type Place = {
  /** The facility's id. */
  facility: string
  /** Its name. */
  name: string
  position: Position
}

/** Who is within a time; without one, who is reached at all. */
export type PlanningBand = {
  /** Their area. */
  area_km2: number
  /** How many. */
  people: number
  /** Seconds. */
  within_s?: number
}

/** Who is within each time, the shortest first. */
export type PlanningBands = PlanningBand[]

/** What each carries, the most people first. */
export type PlanningLoads = {
  /** Their area. */
  area_km2: number
  /** How many cells. */
  cells: number
  /** Of the asset or facility, or the shape of the option. */
  id: string
  /** How many. */
  people: number
}[]

/** Where was looked. */
export type PlanningPlaces = {
  /** Of all cells. */
  area_km2: number
  /** The sides of a cell in metres; missing where points were looked at. */
  cell_m?: number
  /** How many cells or points. */
  cells: number
  /** Of all cells. */
  people: number
}

/** Times that half and nine tenths of all stay within; null where they are not reached. */
export type PlanningQuantiles = {
  /** Half of all. */
  median_s: number | null
  /** Nine tenths of all. */
  p90_s: number | null
}

/** A position. */
export type Point = {
  coordinates: Position
  /** Fixed by RFC 7946. */
  type: "Point"
}

/** Longitude, then latitude, in degrees (RFC 7946). */
export type Position = [number, number]

/** The message to the receiving hospital, and the calls. Local times are those of the hospital, but for `at_local`. */
export type PreAlert = {
  api_version: APIVersion
  /** When the message is told, UTC. */
  at: string
  /** When the patient is typically at the hospital's door, UTC; absent where they have been handed over. */
  at_door_at?: string
  /** The same in local time. */
  at_door_local?: string
  /** When 9 in 10 draws have the patient at the door, UTC. */
  at_door_slow_at?: string
  /** The same in local time. */
  at_door_slow_local?: string
  /** The same in the region's local time. */
  at_local: string
  /** The calls to make, the most urgent first. */
  calls: Call[]
  caution: Caution
  cautions: Cautions
  coming: Coming
  /** The receiving hospital. */
  destination: Place
  /** When the patient typically lands on its pad, UTC; absent where they do not come by air. */
  landing_at?: string
  /** The same in local time. */
  landing_local?: string
  /** When 9 in 10 draws have them landed, UTC. */
  landing_slow_at?: string
  /** The same in local time. */
  landing_slow_local?: string
  /** How many treatments did not fit into the text; `sections` has them all. */
  left_out: number
  /** The id of the option. */
  option: string
  region: Region
  scene: Scene
  /** Age, time, mechanism, injuries, signs, treatment, in this order. */
  sections: Section[]
  /** The message to read out over the radio, in half a minute: at most 75 words. */
  text: string
  versions: Versions
  /** How many words the text has. */
  words: number
  /** The decision time of the answer that the option is from, UTC. `by_s` counts from it. */
  worked_out_at: string
  /** The same in local time. */
  worked_out_local: string
}

/** One patient, the option that was chosen, and what the receiving hospital is told. */
export type PreAlertQuestion = {
  assets?: Selection
  at?: NonNullable<Question["at"]>
  clinical?: Clinical
  conditions?: Conditions
  happened?: NonNullable<Question["happened"]>
  limit?: NonNullable<Question["limit"]>
  /** When the message is told, years 1970 to 2200, to the second; the decision time where it is not given. */
  message_at?: string
  /** The id of the option that was chosen, as in the answer to the same question. */
  option: string
  output_lost_at?: NonNullable<Question["output_lost_at"]>
  output_regained_at?: NonNullable<Question["output_regained_at"]>
  patient?: Patient
  rank_by?: RankBy
  scene: QuestionScene
  target_s?: NonNullable<Question["target_s"]>
}

/** A problem document (RFC 9457). */
export type Problem = {
  /** What happened this time, and the fix. */
  detail: string
  /** Everything that is wrong, at most 50. */
  errors?: ProblemFault[]
  /** This occurrence. */
  instance: string
  /** With statuses 400, 401 and 403 about a token, the role that is needed. */
  needed_role?: "reader" | "desk" | "editor" | "admin"
  /** As in the X-Request-ID header and the log. */
  request_id: string
  /** The HTTP status. */
  status: number
  /** The kind in words. */
  title: string
  /** The kind of problem; a GET there explains it. */
  type: string
}

/** One thing that is wrong. */
export type ProblemFault = {
  /** What is wrong and the fix. */
  detail: string
  /** The id of the facility, asset or road feature in that file. */
  element?: string
  /** The region's file that the pointer leads into; absent for the body. */
  file?: string
  /** The name of a query parameter. */
  parameter?: string
  /** JSON Pointer into the body, or into `file`, as a URI fragment; `#` is the whole. */
  pointer?: string
}

/** A kind of problem. */
export type ProblemKind = {
  /** What it means, and what to do. */
  about: string
  /** Its HTTP status. */
  status?: number
  /** As in problem documents. */
  title: string
  /** As in problem documents. */
  type: string
}

/** One patient, now. */
export type Question = {
  assets?: Selection
  /** Decision time, years 1970 to 2200, to the second; now where it is not given. */
  at?: string
  conditions?: Conditions
  /** What has happened by the decision time, in any order: it takes the place of estimates. Ask again with it as the mission goes on. What nobody has said has happened is estimated as if it began at the decision time; say in `patient.ready_in` what is left of making the patient ready, and by `alerted` since when a hospital gets ready. Of a patient who has changed vehicle, state only what the vehicle they are in now has done, and its position in `assets.states`. */
  happened?: Fact[]
  /** Most options to return. `found` in the answer says how many there are. */
  limit?: number
  /** When the heart's output was lost, at most 24 hours before the decision time. With it, each option says how long after that the surgeon has the patient. */
  output_lost_at?: string
  /** When it came back, before or after it was last lost. Counted from in the same way. */
  output_regained_at?: string
  patient?: Patient
  rank_by?: RankBy
  scene: QuestionScene
  /** The time to the surgeon that is aimed at, in seconds from the decision time. With it, each option's `spread` has the chance to be in time. */
  target_s?: number
}

/** Where the patient is, said in exactly one of three ways. */
export type QuestionScene = {
  /** From where the patient lies to the vehicle, by hand: as a duration, or as a distance at the region's carry speed. The region's default where it is not given. */
  carry?: Spread | CarryDistance
  /** The id of the hospital the patient is in (a transfer). */
  facility?: string
  landing?: Landing
  position?: Position
  /** The position as people write it, latitude first: degrees, degrees and minutes, degrees, minutes and seconds, `geo:` URI, ISO 6709, MGRS, UTM or a full plus code. Or a message that holds one: an AML text message (ETSI TS 103 625, version 1), a PIDF-LO document (RFC 4119, RFC 5491) or a CAP 1.2 circle; only its position is taken, and who and whose telephone it is about is dropped. The answer's scene says which form was recognised and the uncertainty it implies. */
  position_text?: string
  /** How far the patient may be from the position, a radius in metres. Where it is not given, what the position text implies. */
  uncertainty_m?: number
  /** Whether the patient can be winched up from where they lie, by an aircraft that can. */
  winch?: boolean
}

/** Whether the typical total or the slow one, which 9 in 10 draws stay under, decides the order. */
export type RankBy = "typical" | "slow"

/** Which teams can be with the patient, when, and whether the chest can be open in time. */
export type Reach = {
  api_version: APIVersion
  at: At
  at_local: AtLocal
  caution: Caution
  cautions: Cautions
  /** The chance that any of `teams` has the chest open within the window, all of them sent, to four decimals; 0 where none can come. */
  chance: number
  /** The end of the window, UTC. */
  closes_at: string
  /** The same in the region's local time. */
  closes_local: string
  /** Who is first and by how much, or that nobody can be in time. */
  headline: string
  /** From a team being with the patient until the chest is open, counted in; an asset may have its own. */
  open_chest: Duration
  /** The crews without it, in the same order: an asset is in one of the two lists. */
  others: ReachTeam[]
  /** When output was lost, UTC: as asked, else the decision time. */
  output_lost_at: string
  /** The same in the region's local time. */
  output_lost_local: string
  region: Region
  scene: Scene
  skill: Word
  /** The crews with the skill, the soonest first, those that cannot come last. */
  teams: ReachTeam[]
  versions: Versions
  weather: Weather
  window: Window
}

/** One patient without output, now. */
export type ReachQuestion = {
  assets?: Selection
  /** Decision time, years 1970 to 2200, to the second; now where it is not given. */
  at?: string
  conditions?: Conditions
  /** What has happened by the decision time, in any order: it takes the place of estimates, and narrows the spread. A team `at_scene` is beside the patient, and so is the crew of the vehicle that has the patient on board; once that has left the scene, nobody else comes. A patient who is `at_hospital` is a fault. `alerted` changes nothing here. */
  happened?: Fact[]
  /** When the heart's output was lost, not after the decision time, from which the window is counted where it is not given. */
  output_lost_at?: string
  scene: QuestionScene
  /** The skill that opening the chest takes; `thoracotomy` where it is not given. */
  skill?: Word
  /** The id of a shipped window: `common_practice` where neither this nor `window_s` is given. One that is not known is refused with the list of those that are. */
  window?: string
  /** A window of its own in seconds from loss of output; exactly so long is inside. */
  window_s?: number
}

/** One asset's crew on its way to the patient. */
export type ReachTeam = {
  /** Its steps in order of start. */
  activities: Activity[]
  /** When it is with the patient; absent where it cannot come. */
  arrival?: Instant
  /** The asset's id. */
  asset: string
  cautions: Cautions
  kind: AssetKind
  /** Its name. */
  name: string
  /** When the chest is open; absent where it cannot come or has not the skill. */
  opening?: Opening
  /** Why it cannot come; empty where it can. */
  reasons: Reason[]
  /** The team in one plain sentence. */
  sentence: string
  /** What its crew can do. */
  skills: string[]
}

/** One thing that rules a way out. */
export type Reason = {
  code: ReasonCode
  /** A sentence with the numbers in it. */
  detail: string
}

/** A stable word for a kind of reason. More may be added. */
export type ReasonCode = "not_accepting" | "lacks_capability" | "surgeon_absent" | "theatre_away" | "carries_no_patient" | "committed" | "off_duty" | "not_selected" | "no_night_flying" | "no_landing" | "no_pad" | "landing_closed" | "landing_unlit" | "landing_occupied" | "too_large" | "too_heavy" | "runway" | "no_escort" | "no_seat" | "unreachable" | "wind" | "below_minima" | "weather_unknown" | "thunderstorm" | "icing" | "beyond_endurance" | "no_meeting" | "no_stop" | "no_team" | "no_team_seats" | "too_long" | "patient_on_board" | "patient_at_hospital"

/** Whose hospitals and vehicles these are. */
export type Region = {
  /** True for an invented region. Show that. */
  demonstration: boolean
  /** The region's name. */
  name: string
  /** The sentence that says so. */
  note?: string
  /** Since when nobody could tell whether the region's data has changed; absent while all is well. */
  stale_since?: string
}

/** What would be different in the region: by file, and in it by the id of an element, a JSON Merge Patch (RFC 7396). An id that is not there yet adds an element, `null` takes one out. The files of the region are not changed. */
export type RegionChange = {
  /** Patches of facilities by their ids: a new base or pad, a surgeon in the house. */
  "facilities.geojson"?: { [member: string]: unknown }
  /** Patches of assets by their ids. */
  "fleet.json"?: { [member: string]: unknown }
  /** What people call the change. */
  name?: string
  /** Patches of road features by their ids: a bridge, a closed crossing. */
  "roads.geojson"?: { [member: string]: unknown }
  /** A patch of the settings. */
  "settings.json"?: { [member: string]: unknown }
}

/** One thing wrong with a file of the region. */
export type RegionFault = {
  /** What is wrong and the fix. */
  detail: string
  /** The id of the facility, asset or road feature. */
  element?: string
  /** The file's name. */
  file: string
  /** A JSON Pointer into the file. */
  pointer?: string
}

/** What keeps newer data from being used. */
export type RegionFaults = {
  /** All that is wrong. */
  faults: RegionFault[]
  /** Since when newer data could not be had. */
  stale_since?: string
  /** The number of the version that is served meanwhile. */
  version?: number
}

/** A file of a version. */
export type RegionFile = {
  /** Its name. */
  name: string
  /** The SHA-256 of its bytes. */
  sha256: string
  /** Its length in bytes. */
  size: number
}

/** What is served, and how sure that is. */
export type RegionState = {
  /** When it was made. */
  changed_at?: string
  /** Who made it. */
  changed_by?: string
  /** True for an invented region. Show that. */
  demonstration: boolean
  /** Whether this service can change it. */
  editable: boolean
  /** How much is wrong with newer data that is not served for that reason. */
  faults: number
  /** Its files. */
  files?: RegionFile[]
  /** Where edits are kept, in words. */
  kept?: string
  /** The region's name. */
  name: string
  /** The sentence that says so. */
  note?: string
  /** Since when newer data could not be had; absent while all is well. */
  stale_since?: string
  /** The number of the version that is served. */
  version?: number
  versions: ContentHashes
}

/** A page of cases. */
export type Review = {
  /** In the order they were asked. */
  cases: Case[]
  /** Give it as `after` for the next page; absent: this is the last. */
  next?: string
  unreadable: Unreadable
}

/** Areas with roads of their own, barriers that no road crosses, and the crossings over them, as an RFC 7946 FeatureCollection. Positions are [longitude, latitude] in degrees on WGS 84. Do not cut a barrier at the antimeridian: every edge takes the shorter way round. Members whose names start with x_ are not read; a member of properties that is null counts as absent. */
export type RoadsFile = {
  "$schema"?: string
  bbox?: unknown[]
  /** Written by some map programs; only WGS 84 is read. */
  crs?: {
    properties?: {
      name?: "urn:ogc:def:crs:OGC:1.3:CRS84"
    }
    type?: "name"
  }
  /** In any order, but that of two areas that overlap the later one holds. */
  features: RoadsFileFeature[]
  name?: string
  type: "FeatureCollection"
}

/** A part of the region with roads of its own. What it does not state is the region's. */
export type RoadsFileArea = {
  /** Mean acceleration, bends and junctions included, of a vehicle that moves by the region's law. Kilometres per hour per minute. */
  acceleration_kmh_per_min?: number
  /** Cruise speed of a vehicle that moves by the region's law. Kilometres per hour. */
  cruise_kmh?: number
  kind: "area"
  name: RoadsFileName
  /** Road distance over great-circle distance. */
  road_factor?: number
  /** How travel times vary here: square of the coefficient of variation = (b0 (b2+1) + b1 (b2+1) m + b2 m²) / m², m the median in minutes. */
  spread?: {
    /** Minutes squared. */
    b0: number
    /** Minutes. */
    b1: number
    /** A share squared. */
    b2: number
  }
}

/** A line, or the rings of a polygon, that no road crosses. */
export type RoadsFileBarrier = {
  kind: "barrier"
  name: RoadsFileName
  /** On which side there is water, where no road leads: outside (the coast of an island), inside (a lake), left or right of a line as drawn, or none (a wall with land on both sides). Default: none. */
  water?: "none" | "left" | "right" | "inside" | "outside"
}

/** What leads over a barrier, both ways. */
export type RoadsFileCrossing = {
  /** Ferry: from arriving at the quay to being able to leave with the next sailing. Default: none. */
  boarding?: RoadsFileTiming
  /** Closed by hand, until a time if one is given. Delete it to reopen. */
  closed?: {
    reason: RoadsFileName
    until?: string
  }
  /** Months in which it is closed, 1 to 12, by the region's local date when the travel begins. */
  closed_months?: number[]
  crossing: "bridge" | "ferry" | "pass"
  /** Ferry that sails by a timetable, in the region's local time. */
  departures?: {
    weekly: ({
      days: FacilitiesFileDays
      /** The end of the line it leaves from. Left out: these times hold at both. */
      from?: "start" | "end"
      times: string[]
    })[]
  }
  /** Ferry that sails at intervals: when it runs, in the region's local time. Left out: always. */
  hours?: FacilitiesFileHoursRota
  /** Ferry: seconds between sailings. The typical wait is half of it, the slow wait 90 %. */
  interval_s?: number
  kind: "crossing"
  /** Bridge, pass: length of the road between the two positions. Metres. Default: great circle x road factor. */
  length_m?: number
  name: RoadsFileName
  /** Ferry: from leaving one side to being on the road on the other. */
  sailing?: RoadsFileTiming
  /** Bridge, pass: cruise speed on it of a vehicle that moves by the region's law. Kilometres per hour. Default: as the roads around. */
  speed_kmh?: number
}

export type RoadsFileFeature = {
  bbox?: unknown[]
  /** road: LineString. area: Polygon. barrier: LineString or Polygon. crossing: LineString of two positions, one on each side. Checked by the program. */
  geometry: { [member: string]: unknown }
  /** The name by which faults refer to this feature. Unique in the file. */
  id: string
  properties: RoadsFileRoad | RoadsFileArea | RoadsFileBarrier | RoadsFileCrossing
  type: "Feature"
}

/** The name people use, 1 to 200 characters. It appears in answers. */
export type RoadsFileName = string

/** A road to be drawn. Travel times do not depend on it. */
export type RoadsFileRoad = {
  /** A word for the drawing, such as main or secondary. */
  class?: string
  kind: "road"
  name?: RoadsFileName
}

/** A duration: the median, and what 9 in 10 stay under. Seconds. */
export type RoadsFileTiming = {
  slow_s: number
  typical_s: number
}

/** What the second option would need to be the first; absent where there is none. */
export type RunnerUp = {
  /** The ids of those of its activities that could each give all of that, and are not the first's as well. */
  activities: string[]
  /** How many seconds it is behind, by the total that ranks; 0 where it is as quick. */
  needs_s: number
  /** Its id; `limit` may have left it out. */
  option: string
  /** The same in plain words. */
  sentence: string
}

/** Where the patient is, as it was understood. */
export type Scene = {
  /** The hospital a transfer starts at. */
  facility?: string
  /** How the position was written, as recognised. */
  format?: string
  landing?: Landing
  position: Position
  /** Radius in metres, given or implied; 0 where neither. */
  uncertainty_m: number
  /** Whether the patient can be winched up. */
  winch?: boolean
}

/** Of the feature for the scene. */
export type SceneProperties = {
  /** The hospital a transfer starts at. */
  facility?: string
  /** How the position was written, as recognised. */
  format?: string
  landing?: Landing
  /** What the feature is. */
  role: "scene"
  /** Radius in metres, given or implied; 0 where neither. */
  uncertainty_m: number
  /** Whether the patient can be winched up. */
  winch?: boolean
}

/** One letter of the message. */
export type Section = {
  /** What it says. */
  items: Item[]
  /** Its letter. */
  letter: "A" | "T" | "M" | "I" | "S"
  /** What it stands for. */
  title: "age" | "time" | "mechanism" | "injuries" | "signs" | "treatment"
}

/** Changes to the region's fleet for this question only. */
export type Selection = {
  /** Visiting or improvised assets, each in full as in the region's fleet.json. */
  add?: FleetFileAsset[]
  /** The ids of the assets to consider; all where none is given. */
  only?: string[]
  /** What assets are doing now, in place of what the fleet file says. */
  states?: StateChange[]
}

/** The first option's total when one thing is slow. */
export type Sensitivity = {
  /** A stable word: `road_factor`, `wind`, or what is slow, with whose it is after a colon, such as `roads`, `air`, `mobilise:heli-1` or `theatre:ossuvaune-general`. */
  cause: string
  /** By how many seconds it is longer than its typical total. */
  change_s: number
  /** The id of the option that is then the first at typical durations; `limit` may have left it out. */
  first: string
  /** The first option's total then. */
  total_s: number
  /** The same in plain words. */
  what: string
}

/** The region and its own numbers. What is left out keeps the shipped value. Members whose names start with x_ are not read. */
export type SettingsFile = {
  "$schema"?: string
  /** True airspeed of an aeroplane that states none. Knots. */
  aeroplane_cruise_kt?: number
  /** Final reserve fuel of an aeroplane by day. Minutes of flight. */
  aeroplane_reserve_day_min?: number
  /** Final reserve fuel of an aeroplane by night. Minutes of flight. */
  aeroplane_reserve_night_min?: number
  /** The region's own durations, by allowance id. */
  allowances?: {
    /** From cruise to standing at the apron: approach, landing and taxi. */
    aeroplane_approach?: SettingsFileAllowance
    /** From ready to leave the apron to cruise: start-up, taxi, line-up and climb. */
    aeroplane_departure?: SettingsFileAllowance
    /** From calling a surgeon on call at home until ready at the table. */
    call_in?: SettingsFileAllowance
    /** From where the patient lies to the vehicle, by hand. */
    carry?: SettingsFileAllowance
    /** A team from the scene takes its seats in another vehicle. */
    escort_join?: SettingsFileAllowance
    /** From the patient at the door until the receiving team has taken over. */
    handover?: SettingsFileAllowance
    /** From cruise to landed at a prepared pad or site. */
    helicopter_approach?: SettingsFileAllowance
    /** From cruise to landed at a scene, reconnaissance included. */
    helicopter_approach_scene?: SettingsFileAllowance
    /** From lift-off to cruise. */
    helicopter_departure?: SettingsFileAllowance
    /** Engine start where the rotors were stopped, at a scene or a site. */
    helicopter_start?: SettingsFileAllowance
    /** From beside the aeroplane until ready to start engines. */
    load_aeroplane?: SettingsFileAllowance
    /** From beside the ambulance until ready to move off. */
    load_ambulance?: SettingsFileAllowance
    /** From beside the helicopter until ready to lift off, rotors turning. */
    load_helicopter_running?: SettingsFileAllowance
    /** From beside the helicopter until ready to start engines, rotors stopped. */
    load_helicopter_stopped?: SettingsFileAllowance
    /** From the call to the crew until ready to leave the apron, by day. */
    mobilise_aeroplane_day?: SettingsFileAllowance
    /** From the call to the crew until ready to leave the apron, by night. */
    mobilise_aeroplane_night?: SettingsFileAllowance
    /** From the call to the crew until the ambulance moves, by day. */
    mobilise_ambulance_day?: SettingsFileAllowance
    /** From the call to the crew until the ambulance moves, by night. */
    mobilise_ambulance_night?: SettingsFileAllowance
    /** From the call to the crew until lift-off, engine start included, by day. */
    mobilise_helicopter_day?: SettingsFileAllowance
    /** From the call to the crew until lift-off, engine start included, by night. */
    mobilise_helicopter_night?: SettingsFileAllowance
    /** From the call to the crew until the car moves, by day. */
    mobilise_response_car_day?: SettingsFileAllowance
    /** From the call to the crew until the car moves, by night. */
    mobilise_response_car_night?: SettingsFileAllowance
    /** From a team being with the patient until the chest is open. */
    open_chest?: SettingsFileAllowance
    /** Treat the patient and make ready to move. */
    package?: SettingsFileAllowance
    /** From beside the helicopter on the pad to the door, on foot. */
    pad_to_door?: SettingsFileAllowance
    /** From beside the helicopter on the pad to the door, by road vehicle. */
    pad_to_door_vehicle?: SettingsFileAllowance
    /** From the decision until the receiving hospital has been told. */
    pre_alert?: SettingsFileAllowance
    /** A stop for fuel on the ground, engines stopped for it and started again. */
    refuel?: SettingsFileAllowance
    /** A stop for fuel on the ground with engines running. */
    refuel_running?: SettingsFileAllowance
    /** From calling a road vehicle to a pad away from the door until it is there. */
    shuttle_call?: SettingsFileAllowance
    /** A stop at a nearer hospital for blood or control of bleeding. */
    stop_at_hospital?: SettingsFileAllowance
    /** A travelling surgical team leaves the vehicle with its kit. */
    team_alight?: SettingsFileAllowance
    /** A travelling surgical team takes its seats with its kit. */
    team_board?: SettingsFileAllowance
    /** From the surgeon being in the hospital until the team can leave with its kit. */
    team_ready?: SettingsFileAllowance
    /** A travelling surgical team from the door until at the table. */
    team_scrub?: SettingsFileAllowance
    /** From the pre-alert until theatre, team and perfusionist are ready. */
    theatre_ready?: SettingsFileAllowance
    /** From standing at the apron until the patient is beside the aeroplane. */
    unload_aeroplane?: SettingsFileAllowance
    /** From standing still until the patient is beside the ambulance. */
    unload_ambulance?: SettingsFileAllowance
    /** From landed until the patient is beside the helicopter, rotors turning. */
    unload_helicopter_running?: SettingsFileAllowance
    /** From landed until the patient is beside the helicopter, engines shut down first. */
    unload_helicopter_stopped?: SettingsFileAllowance
    /** A patient is winched up: lowering, packaging in the stretcher and hoisting. */
    winch?: SettingsFileAllowance
    /** A team is lowered to the patient by winch. */
    winch_lower?: SettingsFileAllowance
  }
  /** Farthest landing site a patient is carried to by hand. Metres. */
  carry_max_m?: number
  /** Speed of a carry to a landing site. Kilometres per hour. */
  carry_speed_kmh?: number
  /** A patient younger than this needs a children's centre. Years. */
  child_below_years?: number
  /** What dangerous weather does to a flight: exclude (no flight), caution (the option says so) or ignore. The defaults are assumptions. */
  hazards?: {
    /** Freezing precipitation or fog, for aircraft that are not cleared for icing. Default: exclude. */
    freezing?: SettingsFileHazard
    /** Cloud or precipitation in which ice can form, for aircraft that are not cleared for icing. Default: caution. */
    icing_possible?: SettingsFileHazard
    /** Thunderstorm or cumulonimbus. Default: exclude. */
    thunderstorm?: SettingsFileHazard
  }
  /** True airspeed of a helicopter that states none. Knots. */
  helicopter_cruise_kt?: number
  /** The region's own tables of weather minima, beside the shipped ones (spa_hems_120, spa_hems_120_class_3, us_135_609). A table with the id of a shipped one takes its place. */
  minima?: SettingsFileMinima[]
  /** How far above a weather minimum still counts as near, as a fraction of it. No unit. */
  near_minima_fraction?: number
  region: {
    /** An invented region: every answer says so. Default: false. */
    demonstration?: boolean
    /** The region's name, 1 to 200 characters. */
    name: string
    /** IANA time zone of the region: local times are shown in it. */
    time_zone: string
  }
  /** Oldest weather report that is used. Minutes. */
  report_max_age_min?: number
  /** Final reserve fuel of a helicopter by day. Minutes of flight. */
  reserve_day_min?: number
  /** Final reserve fuel of a helicopter by night. Minutes of flight. */
  reserve_night_min?: number
  /** Travel by road. */
  road?: {
    /** Mean acceleration, bends and junctions included. Kilometres per hour gained in a minute. */
    acceleration_kmh_per_min?: number
    /** Cruise speed of road vehicles. Kilometres per hour. */
    cruise_kmh?: number
    /** Road distance over great-circle distance. No unit. */
    road_factor?: number
    /** How road travel times vary about the median m (minutes): the coefficient of variation is sqrt(b0 (b2+1) + b1 (b2+1) m + b2 m^2) / m. */
    spread?: {
      /** Constant part. Minutes squared. */
      b0?: number
      /** Part that adds up along the trip. Minutes. */
      b1?: number
      /** Part shared by the whole trip. No unit. */
      b2?: number
    }
  }
  /** Where the region's own numbers come from, by parameter id. A number without a source is marked as an assumption. */
  sources?: {
    aeroplane_cruise_kt?: SettingsFileOrigin
    aeroplane_reserve_day_min?: SettingsFileOrigin
    aeroplane_reserve_night_min?: SettingsFileOrigin
    carry_max_m?: SettingsFileOrigin
    carry_speed_kmh?: SettingsFileOrigin
    child_below_years?: SettingsFileOrigin
    helicopter_cruise_kt?: SettingsFileOrigin
    near_minima_fraction?: SettingsFileOrigin
    report_max_age_min?: SettingsFileOrigin
    reserve_day_min?: SettingsFileOrigin
    reserve_night_min?: SettingsFileOrigin
    road_acceleration_kmh_per_min?: SettingsFileOrigin
    road_cruise_kmh?: SettingsFileOrigin
    road_factor?: SettingsFileOrigin
    road_spread_b0?: SettingsFileOrigin
    road_spread_b1?: SettingsFileOrigin
    road_spread_b2?: SettingsFileOrigin
    station_max_km?: SettingsFileOrigin
    team_seats?: SettingsFileOrigin
    team_walk_kmh?: SettingsFileOrigin
    wind_slow_kt?: SettingsFileOrigin
  }
  /** Farthest weather station that says something of a place. Kilometres. */
  station_max_km?: number
  /** How reports in which hospitals tell their own state (EDXL-HAVE) are read. */
  status_reports?: {
    /** What a hospital's colour means here: reports of version 2.0 leave that to the region. A colour that is not in it means nothing. */
    colours?: ({
      /** The colour in the reports, in capitals or not. Unique in the file. */
      colour: SettingsFileLine
      /** The accepting state that it stands for. */
      state: "open" | "divert" | "closed"
    })[]
    /** The hospitals whose reports have another id for them than facilities.geojson. An id that is not in it is taken for one of facilities.geojson. */
    ids?: {
      /** The hospital's id in facilities.geojson. */
      facility: SettingsFileLine
      /** The id in the reports. Unique in the file. */
      reported: SettingsFileLine
    }[]
  }
  /** Seats that a travelling surgical team takes. */
  team_seats?: number
  /** Speed of a team on foot, from its vehicle to the patient. Kilometres per hour. */
  team_walk_kmh?: number
  /** The places whose weather reports are used, in any order. */
  weather_stations?: {
    /** The station's name in its reports. Unique in the file. */
    code: string
    /** Longitude, latitude in degrees (WGS 84). */
    position: [number, number]
  }[]
  /** Head wind beyond what is known, 9 times in 10 not worse by more than this. Knots. */
  wind_slow_kt?: number
}

/** A duration by two numbers, and where it comes from. */
export type SettingsFileAllowance = {
  /** How old the source is: a year, a month or a day. */
  date?: string
  /** Slow duration: 9 in 10 are quicker. Seconds, up to two days, at least typical_s. */
  slow_s: number
  /** Where the figure comes from. Left out: it is marked as an assumption. */
  source?: string
  /** Typical duration: the median. Seconds, up to two days. */
  typical_s: number
}

export type SettingsFileHazard = "exclude" | "caution" | "ignore"

export type SettingsFileLine = string

/** A table of weather minima, and where it comes from. */
export type SettingsFileMinima = {
  /** Which edition of it. */
  edition: SettingsFileLine
  /** The name by which the fleet file refers to this table. Unique in the file. */
  id: string
  /** The name people use. */
  label: SettingsFileLine
  /** The rule that sets it, or the operator's own manual. */
  regulation: SettingsFileLine
  /** Pairs of ceiling and visibility. Of the rows that apply, any one that is met allows the flight. */
  rows: SettingsFileMinimaRow[]
  /** Where the values were taken from. */
  source?: SettingsFileLine
}

/** A ceiling and a visibility that together allow flight. It applies when every condition it states is met. */
export type SettingsFileMinimaRow = {
  /** Only with approved night vision or terrain warning. Default: false. */
  aided?: boolean
  /** Only for assets of this class of area. Left out: any. */
  area?: string
  /** Least ceiling. Feet above ground, 50 to 10000. */
  ceiling_ft: number
  /** Only for crews of that many pilots. Left out: any. */
  pilots?: number
  /** Least visibility. Metres, 50 to 50000. */
  visibility_m: number
  /** By day or by night (between evening and morning civil twilight). */
  when: "day" | "night"
}

/** Where a number comes from. */
export type SettingsFileOrigin = {
  /** How old the source is: a year, a month or a day. */
  date?: string
  /** Where the figure comes from. */
  source: string
}

/** The form of the way out: by `road`; by `air`, with a helicopter that lands at or near the scene; `rendezvous`, by road to a landing site and by helicopter from there; `aeroplane`, by road, from airfield to airfield and by road; `via_hospital`, with a stop at a nearer hospital; `surgeon_travels`, a surgical team being carried to the patient's hospital. More may be added. */
export type Shape = "road" | "air" | "rendezvous" | "aeroplane" | "via_hospital" | "surgeon_travels"

/** The vital signs. */
export type Signs = {
  /** Glasgow coma scale. */
  gcs?: number
  /** Beats in a minute. */
  heart_rate_per_min?: number
  output?: Output
  /** When the heart's output was last lost; with it, say `output`. */
  output_lost_at?: string
  /** When it was last regained; with it, say `output`. */
  output_regained_at?: string
  /** Breaths in a minute. */
  respiratory_rate_per_min?: number
  /** Oxygen saturation in percent. */
  spo2_percent?: number
  /** Systolic blood pressure in mmHg. */
  systolic_mmhg?: number
}

/** Where more assets would do most. */
export type SitingQuestion = {
  /** The calls that say how busy assets are, for `most_people_busy`: the choice reckons with the mean share of the present ones, and the shares with the choice in place are told. */
  busy?: Calls
  /** The share of the time that each asset is busy, for `most_people_busy`. */
  busy_share?: number
  /** The sides of the cells of that grid in metres; it may have at most 200. */
  candidate_cell_m?: number
  /** The places to choose from; for pads and surgeons hospitals, by their `facility`, and all that lack one where they are not given. */
  candidates?: Candidate[]
  /** `grid`: the centres of the cells of a grid over the area, in place of `candidates`. */
  candidates_from?: "grid"
  cell_m?: CellSize
  /** How many to choose, those that move among them; the most that may be chosen where the objective is `fewest_sites`, which finds its own number. */
  count: number
  demand?: Demand
  /** The search ends when no other choice can be better by more than this share of the value. */
  gap?: number
  /** The id of an asset of the region; the new ones are like it but for their base. The first of `move` where it is not given. */
  like?: string
  /** The seconds that count in a mean for somebody whom nobody reaches, or only later. */
  lost_s?: number
  /** The ids of assets that may be moved, of the kind of `like`: they are not where they are now, and their present bases are candidates too. All that are put, `count` of them, are like `like`. */
  move?: string[]
  /** - `most_people`: the most people within `within_s` (maximal covering). - `least_mean_time`: the least mean time (p-median). - `least_worst_time`: the shortest time of whoever waits longest (p-centre). - `fewest_sites`: the fewest sites with everybody within `within_s` (set covering); none where they are already. - `most_people_busy`: as `most_people`, each person counted by the chance that somebody who is within the time is free (expected covering). Needs `busy_share` or `busy`. Assets are taken to be busy for the same share of the time, independently of each other; several may be put at one place. Those that can be busy are the new ones and the present ones of the same kind, or those that `busy` names; all others are always free. */
  objective: "most_people" | "most_people_busy" | "least_mean_time" | "least_worst_time" | "fewest_sites"
  situation: Situation
  /** - `base`: assets like `like`, each at one of the candidates. - `pad`: a pad at hospitals that have none: lit, at the door, open at all hours, for every size. - `surgeon`: a surgeon who operates inside the chest, resident at all hours, at hospitals where none is resident at the situation's hour. All else that it takes is taken to be there. */
  what?: "base" | "pad" | "surgeon"
  /** Seconds that people are counted within; needed by `most_people`, `most_people_busy` and `fewest_sites`. */
  within_s?: number
}

/** The figures of a question of siting. */
export type SitingSummary = {
  after: SituationSummary
  /** Choices with one site elsewhere that are nearly as good, the best first. */
  alternatives: ({
    /** The site that is left out. */
    instead_of: string
    /** The site that is taken. */
    name: string
    /** Of that choice. */
    value: number | null
    /** Than the choice. */
    worse: number | null
  })[]
  api_version: APIVersion
  at: At
  at_local: AtLocal
  before: SituationSummary
  /** No choice is better than this. */
  bound: number | null
  /** How busy assets are with the choice in place, by the calls that were given. */
  busy?: BusySummary
  /** The share of the time that assets were reckoned busy, for `most_people_busy`. */
  busy_share?: number
  caution: Caution
  /** Who comes within each time, and who falls out of it. */
  changes: {
    /** People within it with the choice. */
    people_after: number
    /** People within it at present. */
    people_before: number
    /** Who comes within it. */
    people_gained: number
    /** Who falls out of it. */
    people_lost: number
    /** Seconds. */
    within_s: number
  }[]
  /** The chosen sites, the one that counts most first. */
  chosen: ({
    /** By how much the value would be worse without it; null where that has no meaning. */
    adds: number | null
    /** The id of the new asset in the results; missing for pads and surgeons. */
    asset?: string
    /** Of the candidate. */
    facility?: string
    /** Of the candidate. */
    name: string
    position: Position
    /** The id of an asset that may be moved and has its base there now. */
    stays?: string
    /** How many are put there. */
    units: number
  })[]
  /** Whether any choice does what was asked for. */
  found: boolean
  /** The share of the value between the two; 0: proven to be the best. */
  gap: number
  /** How much sooner people are with a surgeon in the mean, of those reached before and after. */
  mean_gain_s: number | null
  /** As asked. */
  objective: "most_people" | "most_people_busy" | "least_mean_time" | "least_worst_time" | "fewest_sites"
  places: PlanningPlaces
  region: Region
  /** Whether the search ended before the gap that was asked for. */
  stopped: boolean
  /** People within the time whoever is busy, who belong to the value of every choice. */
  sure?: number
  /** Of `value`, `bound`, `adds` and `worse`. */
  unit: "people" | "seconds" | "sites"
  /** What the choice is worth by the times of single additions; null where there is none. */
  value: number | null
  versions: Versions
  /** As asked. */
  what: "base" | "pad" | "surgeon"
  /** As asked. */
  within_s?: number
}

/** An hour, and how things stand then: it says who is on duty, where the surgeons are, whether it is night, what the weather is and what assets are doing. Its members are those of a question about one patient. */
export type Situation = {
  assets?: Selection
  /** The hour, years 1970 to 2200; now where it is not given. */
  at?: string
  conditions?: Conditions
  /** Can a helicopter land beside the patients? Where nobody looks at each place, `possible` is the usual assumption; a question about one patient has `unknown`. */
  landing?: "possible" | "impossible" | "unknown"
  /** What people call it. */
  name?: string
  patient?: Patient
  rank_by?: RankBy
  /** How much of the time it stands for, against the other situations. */
  share?: number
}

/** The figures of one situation. */
export type SituationSummary = {
  assets: PlanningLoads
  /** The hour, UTC. */
  at: string
  by_area: PlanningQuantiles
  by_people: PlanningQuantiles
  curve: PlanningBands
  hospitals: PlanningLoads
  /** How much longer it takes while the first asset is away, by people who are reached. */
  lost?: PlanningQuantiles
  /** Mean seconds of the people who are reached. */
  mean_s: number | null
  /** As asked, or its number. */
  name: string
  reached: PlanningBand
  /** The names of its files. */
  results: string[]
  shapes: PlanningLoads
  /** As asked. */
  share: number
  slow_by_people: PlanningQuantiles
  within: PlanningBands
  /** Who waits longest. */
  worst: ({
    /** Of the place; may be empty. */
    name: string
    /** How many. */
    people: number
    /** Seconds to a surgeon. */
    typical_s: number | null
  })[]
}

/** A duration in seconds by two numbers, of which slow is not less than typical. */
export type Spread = {
  /** What 9 in 10 stay under, in seconds. */
  slow_s: number
  /** The median in seconds. */
  typical_s: number
}

/** What a vehicle is doing. */
export type StateAction = {
  /** When a committed vehicle is free; it is then where it was said to be, or at its base. */
  free_at?: string
  /** Where it is, or will be when it is free. */
  position?: Position
  reason?: ActionReason
  /** `at_base` mobilises from its base; `at_scene` stands beside the patient; `moving` is under way and free to be sent, from its position; `committed` is busy until `free_at`. */
  state: "at_base" | "at_scene" | "moving" | "committed"
  /** When the state ends and the vehicle counts as at its base. */
  until?: string
}

/** What one asset is doing now. */
export type StateChange = {
  /** The asset's id. */
  asset: string
  /** When a committed asset will be free, years 1970 to 2200. */
  free_at?: string
  /** The flying time in seconds that its fuel lasts, at most its endurance; full where it is not given. */
  fuel_s?: number
  /** Where it is (moving), or will be free (committed); its base where it is not given. */
  position?: Position
  /** `at_base` mobilises from its base; `at_scene` stands beside the patient; `moving` is under way and free to be sent, from its position; `committed` is busy until `free_at`. */
  state: "at_scene" | "at_base" | "moving" | "committed"
}

/** A state in one word. */
export type Status = {
  /** The state. */
  status: string
}

/** What a report says of the list's hospitals, each part in the order of ids. */
export type StatusReport = {
  /** Whether nothing was changed. */
  dry_run: boolean
  /** What is wrong with the document. */
  faults: {
    /** What is wrong and the fix. */
    detail: string
    /** The sender's id. */
    hospital?: string
    /** The line. */
    line?: number
  }[]
  /** The number of the version that it made. */
  made?: number
  /** The states that are put into the list, or would be. */
  proposals: ({
    /** When the sender brought it up to date. */
    as_of?: string
    /** The hospital. */
    facility: string
    /** What else the report says. */
    notes?: string[]
    /** Why. */
    reason?: string
    /** Older than it may be, or of unknown age. */
    stale: boolean
    /** Its accepting state. */
    state: "open" | "divert" | "closed"
    /** Its end. */
    until?: string
  })[]
  /** What would be wrong with the region, at most 50. */
  region_faults: ProblemFault[]
  /** Hospitals of the list of which it says nothing. */
  silent: string[]
  /** Hospitals of which no state follows. */
  undecided: {
    /** When the sender brought it up to date. */
    as_of?: string
    /** The hospital. */
    facility: string
    /** Older than it may be, or of unknown age. */
    stale: boolean
    /** Why not. */
    why: string
  }[]
  /** Hospitals that are not in the list. */
  unmatched: {
    /** The sender's id. */
    id: string
    /** The line of the document. */
    line: number
    /** The sender's name. */
    name?: string
  }[]
  /** The version of the standard. */
  version: string
}

/** Some rows of a table. */
export type TablePage = {
  /** What `after` is for the next page; missing with the last. */
  next?: number
  /** By column; null where a number is missing. */
  rows: { [member: string]: unknown }[]
}

/** How the total varies when every step is drawn between typical and slow. What has one cause (the roads, the wind, an asset's mobilisation, a surgeon's call-in) is drawn once for all options. The same question gives the same draws. */
export type TotalSpread = {
  /** The total in seconds that 1 in 10 draws are quicker than. */
  p10_s: number
  /** The median of the drawn totals in seconds. It is not less than `typical_s`, for which every step is at its own median: medians of chains that wait for each other do not add up. */
  p50_s: number
  /** What 9 in 10 draws stay under, in seconds: `slow_s` of the total. */
  p90_s: number
  /** The chance that no other option is quicker, among all that were drawn. Of options that are equally quick the better rank has it. */
  quickest: Chance
  /** The chance of a total of at most `target_s`, where the question has one. */
  within_target?: Chance
}

/** What has been done. */
export type Treatment = {
  /** Units of blood, in halves. */
  blood_units?: number
  /** In any order. `none` stands alone and says that nothing was done. */
  given?: TreatmentGiven[]
}

/** One thing that has been done, in the order in which it is told. */
export type TreatmentGiven = "none" | "chest_opened" | "cpr" | "intubated" | "chest_drain" | "chest_decompressed" | "tourniquet" | "pelvic_binder" | "wound_packed" | "tranexamic_acid" | "calcium" | "defibrillated" | "airway_adjunct" | "oxygen" | "iv_access"

/** How many records are damaged or gone. `surgeonward review` names each. */
export type Unreadable = number

/** Until when the first option is the first: how late each of its activities can start before another option is quicker, at typical durations, all else as planned. The other option is taken to have begun at the decision time: where it needs a vehicle of its own, that is called now, or loses as much as it is called later. In the order of the first option's activities. An activity that has begun, or that no other option does without, has no deadline. */
export type Until = Deadline[]

/** What the answer was made from. */
export type Versions = {
  /** The program's build. */
  engine: string
  /** Hash of the facilities. */
  facilities: string
  /** Hash of the fleet. */
  fleet: string
  /** Hash of all numbers, shipped and regional. */
  parameters: string
  /** Hash of the roads; absent where the region has no such file. */
  roads?: string
}

/** What each station of the question's reports says for the decision time, in order of code. */
export type Weather = ({
  /** Age of its newest report that can be used, in seconds; null where there is none. */
  age_s: number | null
  /** The ceiling in feet above ground; null where it is not known. 4921 (1,500 m), up to which every report tells of a ceiling, stands for none reported: it may be higher, or there may be none. */
  ceiling_ft: number | null
  /** Whether a forecast of this station was given as well. */
  forecast: boolean
  /** How far it is from the scene, in metres. */
  scene_distance_m: number
  /** The station's code. */
  station: string
  /** The visibility in metres, 10000 for that or more; null where it is not known. */
  visibility_m: number | null
  /** Where `visibility_m` is null: what the visibility is said to be less than. */
  visibility_under_m?: number
  /** The wind; null where it is not known. */
  wind: Wind | null
})[]

/** One report or forecast as text. */
export type WeatherReport = string

/** A wind as reported. */
export type Wind = {
  /** Where it blows from, in degrees from true north; null where it has no single direction. */
  from_deg: number | null
  /** Its highest gust in knots, where there is one. */
  gust_kt?: number
  /** Its mean speed in knots. */
  speed_kt: number
}

/** The time from loss of output in which opening the chest can still help. A figure of a guideline or a study, and no clinical advice: the treating clinician decides. */
export type Window = {
  at_limit: AtLimit
  /** When the source was published: a year, a month or a day. */
  date?: string
  /** Its name in questions; `stated` for a window in seconds. */
  id: string
  /** Its length in seconds. */
  limit_s: number
  mark: Mark
  /** What is uncertain. */
  note?: string
  /** Publication, "assumption", or the question. */
  source: string
  /** What it is in words. */
  what: string
}

/** A word of the region's vocabulary, such as `cardiothoracic_surgery`. */
export type Word = string
