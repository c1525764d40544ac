import { CAUTIONS, cautionsFor } from '../cautions/cautions.js';
import { STARTER_VALUES } from '../evaluation/starter-mark.js';
import type { Message } from '../message.js';
import { measure, type Measure, type UnitSystem } from '../quantities/measures.js';
import { eachOnce } from '../same-message.js';
import { type AdditiveToPick, additivesToPick } from './additives-to-pick.js';
import { USUAL_CONTAINER_L } from './containers.js';
import { type CoolantToPick, coolantToPick } from './coolant-to-pick.js';
import { message } from './messages.js';
import { type PartToPick, partsToPick } from './parts-to-pick.js';
import { type ToolToPick, toolsToPick } from './tools-to-pick.js';
import { type ForVehicle, type VisitToPick, vehicleOf } from './visit-to-pick.js';

type WithCautions<Line> = Line & { cautions: Message[] };

/** What to take from the store for a day's visits. */
export interface PickList {
  parts: WithCautions<PartToPick>[];
  coolant: WithCautions<CoolantToPick>[];
  /** What one container holds. */
  container: Measure;
  additives: WithCautions<AdditiveToPick>[];
  tools: WithCautions<Omit<ToolToPick, 'caution'>>[];
  /** What is not known, vehicle by vehicle, and where to find it. */
  missing: (ForVehicle & { message: Message })[];
  cautions: Message[];
  basis: Message[];
}

/** What a card does not know that concerns the store; torques and elevations do not. */
const ABOUT_THE_STORE: ReadonlySet<string> = new Set([
  'card-no-spec-sheet',
  STARTER_VALUES.code,
  'card-no-part',
  'card-no-belt-designation',
  'card-belt-unreadable',
  'card-no-technology',
  'card-no-target-strength',
  'card-no-drainable-volume',
  'card-drains-too-little',
  'card-no-strength',
  'card-coolant-impossible',
  'card-no-additive-bottle',
]);

/**
 * Adds up the job cards of a day's visits to what the store hands out: parts by number, coolant in
 * whole containers, additives and tools, each with the vehicles that it is for. What a card does
 * not know stands in `missing`, so that no vehicle is left out.
 *
 * Source: common practice, no published source: the sizes of containers (`USUAL_CONTAINER_L`), and
 * what shares one (`coolantToPick`).
 *
 * @param visits with their job cards
 * @param units the reader's, for the size of containers
 * @example pickList([], 'us').container // 3.785411784 L: 1 gal
 */
export function pickList(visits: readonly VisitToPick[], units: UnitSystem): PickList {
  const containerL = USUAL_CONTAINER_L[units];
  const coolant = coolantToPick(visits, containerL);
  const container = measure('volume', containerL);
  return {
    parts: partsToPick(visits).map((part) => ({
      ...part,
      cautions: part.isElectric ? cautionsFor('high-voltage-coolant') : [],
    })),
    coolant: coolant.map((line) => ({ ...line, cautions: cautionsOfCoolant(line) })),
    container,
    additives: additivesToPick(visits).map((line) => ({ ...line, cautions: cautionsFor('coolant-sample') })),
    tools: toolsToPick(visits).map(({ caution, ...tool }) => ({
      ...tool,
      cautions: caution === null ? [] : cautionsFor(caution),
    })),
    missing: visits.flatMap(missingOf),
    cautions: cautionsOf(visits),
    basis: coolant.length === 0 ? [] : [message(`basis-pick-containers-${units}`)],
  };
}

function cautionsOfCoolant({ kind, isElectric }: CoolantToPick): Message[] {
  if (isElectric) return [message('pick-own-containers'), ...cautionsFor('high-voltage-coolant')];
  return kind === 'water' ? [] : [message('pick-never-mix'), ...cautionsFor('coolant-sample')];
}

function missingOf(visit: VisitToPick): PickList['missing'] {
  const { card } = visit;
  const told = card.missing.filter(isAboutTheStore);
  const unknown = card.opens !== 'none' && card.coolant === null ? [message('pick-coolant-not-known')] : [];
  return eachOnce([...told, ...unknown]).map((what) => ({ ...vehicleOf(visit), message: what }));
}

function isAboutTheStore({ code, values }: Message): boolean {
  const { what } = values as { what?: Message };
  return ABOUT_THE_STORE.has(code === 'card-in-circuit' && what !== undefined ? what.code : code);
}

/** Those of all cards, in the order to read them; the maker's information in any case. */
function cautionsOf(visits: readonly VisitToPick[]): Message[] {
  const wanted = new Set(visits.flatMap(({ card }) => card.cautions.map(({ code }) => code)));
  wanted.add('caution-maker');
  return CAUTIONS['whole-job'].filter(({ code }) => wanted.has(code));
}
