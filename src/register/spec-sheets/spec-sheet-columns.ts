import { canonicalOf } from '../../domain/quantities/given.js';
import { STARTER_VALUES } from '../../domain/evaluation/starter-mark.js';
import { ENGINE_ALONE } from '../../domain/vehicles/circuits.js';
import type { SpecFastener, SpecSheet } from '../../entities/spec-sheet.entity.js';
import { optionalMeasure, optionalQuantity } from '../../platform/presenting/measures.js';
import { starterMark } from '../starter-mark/starter-mark.js';
import { circuitShown, circuitStored } from './circuit-columns.js';
import { beltShown, beltStored, type Shown } from './spec-sheet-belts.js';
import { starterPointers } from './starter-values.js';
import type { FastenerSpec, SpecSheetInput, SpecSheetView } from './spec-sheet.dto.js';

/** The columns in which a posted sheet is stored. */
export function columnsOf(input: SpecSheetInput) {
  return {
    name: input.name.trim(),
    circuit: input.circuit ?? ENGINE_ALONE.first,
    circuitNote: input.circuitNote?.trim() ?? null,
    ...circuitStored(input),
    otherCircuits: (input.otherCircuits ?? []).map(({ circuit, ...spec }) => ({
      circuit,
      ...circuitStored(spec),
    })),
    fasteners: (input.fasteners ?? []).map((fastener) => ({
      name: fastener.name.trim(),
      count: fastener.count,
      component: fastener.component ?? null,
      torqueNm: canonicalOf('torque', fastener.torque),
      tolerancePercent: fastener.tolerancePercent ?? null,
      minNm: canonicalOf('torque', fastener.min),
      maxNm: canonicalOf('torque', fastener.max),
      angle: fastener.angle?.trim() ?? null,
    })),
    belts: (input.belts ?? []).map(beltStored),
    hoses: (input.hoses ?? []).map((hose) => hose.trim()),
  };
}

function fastenerOf(
  { name, count, component, torqueNm, tolerancePercent, minNm, maxNm, angle }: SpecFastener,
  shown: Shown,
): FastenerSpec {
  return {
    name,
    count,
    component: (component ?? null) as FastenerSpec['component'],
    torque: shown('torque', torqueNm),
    tolerancePercent,
    min: shown('torque', minNm),
    max: shown('torque', maxNm),
    angle,
  };
}

function contentOf(sheet: SpecSheet, shown: Shown): SpecSheetInput {
  const { parts, labour, ...coolantAndTest } = circuitShown(sheet, shown);
  return {
    name: sheet.name,
    circuit: sheet.circuit,
    circuitNote: sheet.circuitNote,
    ...coolantAndTest,
    fasteners: sheet.fasteners.map((fastener) => fastenerOf(fastener, shown)),
    belts: sheet.belts.map((belt) => beltShown(belt, shown)),
    hoses: sheet.hoses,
    parts,
    labour,
    otherCircuits: sheet.otherCircuits.map(({ circuit, ...spec }) => ({
      circuit,
      ...circuitShown(spec, shown),
    })),
  };
}

/** The record in the form in which it is posted. A patch is applied to it. */
export function inputOf(sheet: SpecSheet): SpecSheetInput {
  return contentOf(sheet, optionalQuantity);
}

/** The content of a sheet as it is shown. */
export const sheetShown = (sheet: SpecSheet): SpecSheetInput => contentOf(sheet, optionalMeasure);

export function viewOf(sheet: SpecSheet): SpecSheetView {
  const starter = starterMark(sheet, starterPointers(sheet), STARTER_VALUES);
  return { id: sheet.id, ...sheetShown(sheet), starter, version: sheet.version };
}
