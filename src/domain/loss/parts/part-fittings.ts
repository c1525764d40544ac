import type { Component } from '../../intervals/types.js';
import { instantMs } from '../facts/usage-span.js';
import type { PartFitting } from './part-exposure.js';

/**
 * How far a vehicle had run at an instant; null where that is unknown. Engine hours count by their
 * worth in km.
 */
export interface RunAt {
  at: string;
  km: number | null;
}

/** A part that was replaced in a job. */
export interface PartReplacement extends RunAt {
  jobId: string;
  component: Component;
  item: string | null;
  partNumber: string | null;
  lot: string | null;
}

/** What is known about parts from one vehicle. */
export interface PartHistory {
  vehicleId: string;
  /**
   * The first reading or job on record: before it no alert could arise, so no kilometre counts.
   * Null: none yet.
   */
  watchedFrom: RunAt | null;
  /** The last usage reading. */
  last: RunAt | null;
  replacements: readonly PartReplacement[];
  /** When the vehicle's own loss alerts were raised. */
  alertsRaisedAt: readonly string[];
}

/**
 * The parts that one vehicle has run with, each from its fitting (or the first fact on record, if
 * later) to its replacement or the last usage reading; among them, of
 * unknown batch, the part that was in before the first replacement. Spans whose usage is unknown at
 * either end are left out.
 *
 * @param components the components of which any batch is known; of others nothing can be concluded.
 * @throws ImpossibleValue on an instant without offset.
 * @example one pump of batch L-3 fitted on 1 March to a vehicle watched since 1 January // two fittings: lot null until 1 March, L-3 from then on
 */
export function partFittingsOf(history: PartHistory, components: readonly Component[]): PartFitting[] {
  const { watchedFrom, last } = history;
  if (watchedFrom === null || last === null) return [];
  return components.flatMap((component) =>
    placesOf(history, component).flatMap((replacements) =>
      [null, ...replacements].flatMap((fitted, index) => {
        const from = fitted === null ? watchedFrom : later(fitted, watchedFrom);
        const removed = replacements[index] ?? null;
        const to = removed ?? later(last, from);
        if (from.km === null || to.km === null || instantMs(to.at) < instantMs(from.at)) return [];
        // A part fitted and taken out before the first fact never ran under watch.
        if (removed !== null && instantMs(removed.at) === instantMs(from.at)) return [];
        const fitting: PartFitting = {
          factId: fitted?.jobId ?? `${history.vehicleId}:${component}:${replacements[0]?.item ?? ''}`,
          vehicleId: history.vehicleId,
          component,
          partNumber: fitted?.partNumber ?? null,
          lot: fitted?.lot ?? null,
          fittedAt: from.at,
          fittedOdometerKm: from.km,
          lastAt: to.at,
          lastOdometerKm: to.km,
          isRemoved: removed !== null,
          alertsRaisedAt: history.alertsRaisedAt,
        };
        return [fitting];
      }),
    ),
  );
}

/**
 * The replacements of a component in time order, one list for each item; one empty list where it
 * was never replaced.
 */
function placesOf(history: PartHistory, component: Component): PartReplacement[][] {
  const byItem = new Map<string | null, PartReplacement[]>();
  const inOrder = history.replacements
    .filter((replacement) => replacement.component === component)
    .sort((a, b) => instantMs(a.at) - instantMs(b.at) || (a.jobId < b.jobId ? -1 : 1));
  for (const replacement of inOrder)
    byItem.set(replacement.item, [...(byItem.get(replacement.item) ?? []), replacement]);
  return byItem.size === 0 ? [[]] : [...byItem.values()];
}

function later<A extends RunAt, B extends RunAt>(a: A, b: B): A | B {
  return instantMs(a.at) >= instantMs(b.at) ? a : b;
}
