import type { Words } from '../../message.js';
import { cautionsFor as cautionsOfWork } from '../../cautions/cautions.js';
import type { LossAlertKind } from '../facts/types.js';

const OUTSIDE_FIRST = [
  'radiator cap and its seat',
  'hoses from end to end and their clamps, for wetness and dried coolant',
  'water pump weep hole and the ground below it',
  'radiator, reservoir and heater core: wet carpet, a sweet smell, a film inside the windscreen',
  'pressure test at the cap’s rating, engine cold',
  'only then a combustion-gas test, fitted cold: if positive, park it; head gasket, EGR cooler, injector sleeves',
];

const CHECK_NEXT: Record<LossAlertKind, readonly string[]> = {
  'repeat-top-ups': OUTSIDE_FIRST,
  'rising-loss': OUTSIDE_FIRST,
  'unrecorded-water': [
    'ask who drives and fuels the vehicle whether water was added on the road',
    'measure the strength again with a refractometer, coolant mixed, and bring it back to the target',
    ...OUTSIDE_FIRST,
  ],
  'weakening-hold': [
    'test gauge, hoses and adapter on their own: does the tool hold by itself?',
    ...OUTSIDE_FIRST,
  ],
  'early-return': [
    'why the part came back: the failed part itself, its seating faces, the coolant that ran through it',
    'belt tension and pulley alignment, where the part is driven',
    'fastener torques and procedure of the first job; part number and lot against the spec sheet',
  ],
  'part-cohort': [
    'other vehicles that carry the lot: inspect them at their next visit',
    'stock of the same lot: set it aside until its supplier has answered',
    'fitting procedure and torques, in case it is the work and not the part',
  ],
};

const VACUUM_PROVES_NOTHING =
  'A passed vacuum test does not show that this leak is gone: a vacuum pulls a lip seal or a head gasket shut.';

/** What to look at next, the outside first. */
export function checkNextFor(kind: LossAlertKind): string[] {
  return [...CHECK_NEXT[kind]];
}

/** The safety cautions that go with an alert of a kind. */
export function cautionsFor(kind: LossAlertKind): Words[] {
  const isAboutParts = kind === 'early-return' || kind === 'part-cohort';
  return [...(isAboutParts ? [] : [VACUUM_PROVES_NOTHING]), ...cautionsOfWork('leak-search')];
}
