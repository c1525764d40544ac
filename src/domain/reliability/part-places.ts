import type { PartReplaced, VehicleParts } from './part-history.js';

/**
 * The places of such parts in a vehicle, with the replacements at each in time order. The item is
 * `undefined` if the place is not known.
 */
export function placesOf(
  vehicle: VehicleParts,
  wanted: string | null,
): { item: string | null | undefined; replacements: PartReplaced[] }[] {
  const named = new Set(vehicle.items);
  for (const { item } of vehicle.replacements) if (item !== null) named.add(item);
  // If the sheet names no items, a vehicle without a replacement still runs on its first part.
  if (wanted !== null && vehicle.items.length === 0) named.add(wanted);
  const only = named.size === 0 ? null : named.size === 1 ? [...named][0] : undefined;
  const places = new Map<string | null | undefined, Map<string, PartReplaced>>();
  for (const item of named.size === 0 ? [null] : named) places.set(item, new Map());
  const inOrder = [...vehicle.replacements].sort((a, b) => a.at - b.at || (a.jobId < b.jobId ? -1 : 1));
  for (const replaced of inOrder) {
    const item = replaced.item ?? only;
    const jobs = places.get(item) ?? new Map<string, PartReplaced>();
    // Two lines of one job are one replacement.
    const same = jobs.get(replaced.jobId);
    jobs.set(replaced.jobId, { ...replaced, failed: replaced.failed || (same?.failed ?? false) });
    places.set(item, jobs);
  }
  return [...places]
    .filter(([item]) => wanted === null || item === wanted || item === undefined)
    .map(([item, jobs]) => ({ item, replacements: [...jobs.values()] }));
}
