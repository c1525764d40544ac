import { measure, type Measure } from '../quantities/measures.js';
import { type ForVehicle, type VisitToPick, vehicleOf } from './visit-to-pick.js';

/** Additive to take from the store, for all visits that need it. */
export interface AdditiveToPick {
  /** Null: the spec sheet does not name it. */
  product: string | null;
  volume: Measure;
  for: (ForVehicle & { inWords: string; volume: Measure })[];
}

/**
 * The additives for the visits, by product. One that the sheet does not name is not added up: it
 * may be another.
 *
 * Source: `additiveForJob`.
 *
 * @example additivesToPick(visits)[0]?.volume // { measure: 'volume', value: 1.7 }
 */
export function additivesToPick(visits: readonly VisitToPick[]): AdditiveToPick[] {
  const found = new Map<string, AdditiveToPick>();
  for (const visit of visits) {
    for (const { additive } of [visit.card, ...visit.card.otherCircuits]) {
      if (additive === null) continue;
      const { product, volume, inWords } = additive;
      const key = product === null ? JSON.stringify([visit.visitId]) : product.trim().toLowerCase();
      const line = found.get(key) ?? { product, volume: measure('volume', 0), for: [] };
      line.volume = measure('volume', line.volume.value + volume.value);
      line.for.push({ ...vehicleOf(visit), inWords, volume });
      found.set(key, line);
    }
  }
  return [...found.values()];
}
