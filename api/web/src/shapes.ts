// The interface's types under the names the page uses.

import type * as api from './api.gen'

export type {
  Activity, ActivityKind, Answer, Landing, Lane, NotPossible, Option, Place, Position, Problem, Question, RankBy,
  ReasonCode, Scene, Shape, StateChange, TotalSpread,
} from './api.gen'
export type Timing = api.Spread
export type Facility = api.FacilitiesFileFeature
export type Asset = api.FleetFileAsset
