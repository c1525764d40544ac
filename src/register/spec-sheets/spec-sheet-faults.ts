import { canonicalOf } from '../../domain/quantities/given.js';
import { CIRCUITS } from '../../domain/vehicles/circuits.js';
import type { SpecSheet } from '../../entities/spec-sheet.entity.js';
import { duplicateFaults } from '../../platform/problems/domain-faults.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import { above, circuitFaults, typed } from './circuit-faults.js';
import { message } from './messages.js';
import type { FastenerSpec, SpecSheetInput } from './spec-sheet.dto.js';

/** What is wrong with a sheet whose fields are valid one by one. */
export function specSheetFaults(sheet: SpecSheetInput): FieldFault[] {
  const { fasteners, belts, hoses } = sheet;
  const names = (entries: { name: string }[] | null | undefined): string[] =>
    (entries ?? []).map(({ name }) => name);
  return [
    ...circuitFaults(sheet, firstOf(sheet)),
    ...otherCircuitFaults(sheet),
    ...(fasteners ?? []).flatMap((fastener, index) => fastenerFaults(fastener, `/fasteners/${index}`)),
    ...duplicateFaults(names(fasteners), (index) => `/fasteners/${index}/name`, 'fastener'),
    ...duplicateFaults(names(belts), (index) => `/belts/${index}/name`, 'belt'),
    ...duplicateFaults(hoses ?? [], (index) => `/hoses/${index}`, 'hose'),
  ];
}

const firstOf = ({ circuit }: SpecSheetInput) => circuit ?? CIRCUITS[0];

function otherCircuitFaults(sheet: SpecSheetInput): FieldFault[] {
  const others = sheet.otherCircuits ?? [];
  const first = firstOf(sheet);
  return others.flatMap((other, index) => {
    const parent = `/otherCircuits/${index}`;
    const { circuit } = other;
    const earlier = others.findIndex((candidate) => candidate.circuit === circuit);
    const twice = { pointer: `${parent}/circuit` };
    return [
      ...(circuit === first ? [{ ...twice, detail: message('sheet-circuit-is-first', { circuit }) }] : []),
      ...(earlier < index
        ? [{ ...twice, detail: message('sheet-circuit-twice', { circuit, position: earlier + 1 }) }]
        : []),
      ...circuitFaults(other, circuit).map((fault) => ({ ...fault, pointer: `${parent}${fault.pointer}` })),
    ];
  });
}

/**
 * What is wrong with the change of a sheet: records that name no circuit are about the first, so
 * that a circuit with records of its own cannot take its place.
 */
export function changedCircuitFaults(
  before: Pick<SpecSheet, 'circuit' | 'otherCircuits'>,
  input: SpecSheetInput,
): FieldFault[] {
  const circuit = firstOf(input);
  if (!before.otherCircuits.some((other) => other.circuit === circuit)) return [];
  const detail = message('sheet-circuit-takes-first-place', { circuit, first: before.circuit });
  return [{ pointer: '/circuit', detail }];
}

function fastenerFaults(fastener: FastenerSpec, pointer: string): FieldFault[] {
  const { torque, min, max, tolerancePercent } = fastener;
  if (!min !== !max) {
    const [given, missing] = min ? (['min', 'max'] as const) : (['max', 'min'] as const);
    return [{ pointer: `${pointer}/${missing}`, detail: message('sheet-torque-half-given', { given }) }];
  }
  if (!min || !max) {
    if (torque) return [];
    return [{ pointer, detail: message('sheet-torque-missing') }];
  }
  const minNm = canonicalOf('torque', min) ?? 0;
  const maxNm = canonicalOf('torque', max) ?? 0;
  if (above(minNm, maxNm)) {
    const detail = message('sheet-torque-limits-crossed', {
      given: typed('torque', min),
      max: typed('torque', max),
    });
    return [{ pointer: `${pointer}/min`, detail }];
  }
  if (tolerancePercent != null) {
    return [{ pointer: `${pointer}/tolerancePercent`, detail: message('sheet-torque-tolerance-twice') }];
  }
  const torqueNm = canonicalOf('torque', torque);
  if (torque && torqueNm !== null && (above(torqueNm, maxNm) || above(minNm, torqueNm))) {
    const detail = message('sheet-torque-outside-limits', {
      given: typed('torque', torque),
      min: typed('torque', min),
      max: typed('torque', max),
    });
    return [{ pointer: `${pointer}/torque`, detail }];
  }
  return [];
}
