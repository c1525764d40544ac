import type { Component } from '../intervals/types.js';
import { type CircuitName, isElectric } from '../vehicles/circuits.js';
import { type ForVehicle, type VisitToPick, vehicleOf } from './visit-to-pick.js';

/** A part to take from the store, for all visits that need it. */
export interface PartToPick {
  /** Null: the spec sheet does not say, so that it has to be looked up. */
  partNumber: string | null;
  component: string;
  /** As the spec sheets have it; several where they differ. */
  descriptions: string[];
  quantity: number;
  /** It goes into a circuit beside high voltage. */
  isElectric: boolean;
  for: (ForVehicle & { quantity: number; circuit: CircuitName | null })[];
}

interface Needed {
  visit: VisitToPick;
  part: {
    component: string;
    description: string;
    quantity: number;
    partNumber: string | null;
    circuit?: CircuitName;
  };
}

/**
 * The parts for the visits, by number, with their quantities added up. Numbers that differ only in
 * capitals and blanks are one number. Parts without a number are added up only within a spec sheet:
 * two sheets may mean different parts by the same words.
 *
 * Source: common practice, no published source.
 *
 * @returns the parts with a number first, by number; then the others, by description
 * @example partsToPick([twoVehiclesThatEachTake(2, 'HC-25')])[0]?.quantity // 4
 */
export function partsToPick(visits: readonly VisitToPick[]): PartToPick[] {
  const found = new Map<string, PartToPick>();
  for (const needed of visits.flatMap(partsOf)) {
    const { visit, part } = needed;
    const key = keyOf(needed);
    const line = found.get(key) ?? newLine(part);
    found.set(key, line);
    const { quantity, description, circuit = null } = part;
    line.quantity += quantity;
    line.isElectric ||= circuit !== null && isElectric(circuit);
    if (!line.descriptions.includes(description)) line.descriptions.push(description);
    line.for.push({ ...vehicleOf(visit), quantity, circuit });
  }
  return [...found.entries()].sort(([one], [other]) => (one < other ? -1 : 1)).map(([, line]) => line);
}

function partsOf(visit: VisitToPick): Needed[] {
  const ofSheet = visit.card.parts.map((part) => ({
    visit,
    part: { ...part, circuit: part.circuit ?? ownCircuit(visit) },
  }));
  return [...ofSheet, ...beltsOf(visit)];
}

/** A vehicle with one circuit does not name it. It matters only if that circuit is electric. */
const ownCircuit = ({ card, firstCircuit }: VisitToPick): CircuitName | undefined =>
  card.circuit === null && isElectric(firstCircuit) ? firstCircuit : undefined;

/** A belt is known by its designation where the sheet lists no part for it. */
function beltsOf(visit: VisitToPick): Needed[] {
  const { card, lines } = visit;
  const component = 'drive-belt' satisfies Component;
  if (card.parts.some((part) => part.component === component)) return [];
  const renewed = lines.filter((line) => line.component === component && line.action === 'replace');
  return card.belts
    .filter(({ name }) => renewed.some(({ item }) => item === null || item === name))
    .map(({ name, designation }) => ({
      visit,
      part: { component, description: name, quantity: 1, partNumber: designation },
    }));
}

function newLine({ partNumber, component }: Needed['part']): PartToPick {
  const number = partNumber?.trim() ?? '';
  return {
    ...{ partNumber: number === '' ? null : number, component, descriptions: [], quantity: 0 },
    ...{ isElectric: false, for: [] },
  };
}

/** Numbers sort before descriptions. */
function keyOf({ visit, part }: Needed): string {
  const number = part.partNumber?.replaceAll(/\s+/g, '').toUpperCase() ?? '';
  if (number !== '') return JSON.stringify(['0', number]);
  return JSON.stringify(['1', part.component, part.description, visit.sheetId ?? visit.vehicleId]);
}
