import type { Component, Duty } from '../../domain/intervals/types.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { ReplacementCosts } from '../../domain/reliability/age-replacement.js';
import type { Counter } from './interval-advice.queries.js';

/** The question, with all defaults filled in. */
export interface AskedFor {
  component: Component;
  item: string | null;
  specSheetId: string | null;
  duty: Duty | null;
  by: Counter;
  recordsFrom: string | null;
  costs: ReplacementCosts | null;
  /** How many vehicles were examined. */
  vehicles: number;
  units: UnitSystem;
}
