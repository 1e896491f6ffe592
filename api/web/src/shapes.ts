// The interface's types under the names the page uses.

import type * as api from './api.gen'

export type {
  History, Import, PastEdit, Activity, ActivityKind, Answer, BaseMap, Clinical, CoverageQuestion, CoverageSummary, Demand, Event, Fact, InjuryRegion, Job, Landing, Lane, Mechanism, NotPossible, Option, Output, Place, Position, PreAlert, Problem, Question, RankBy, Reach, ReachQuestion, ReachTeam,
  ReasonCode, Scene, Shape, SitingQuestion, SitingSummary, Situation, SituationSummary, StateChange, TotalSpread, TreatmentGiven,
} from './api.gen'
export type Timing = api.Spread
export type Facility = api.FacilitiesFileFeature
export type Asset = api.FleetFileAsset
