import type { TensionRange } from '../../domain/belt/belt-tension.js';
import type { MeasureKind } from '../../domain/quantities/measures.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { SpecBelt } from '../../entities/spec-sheet.entity.js';
import type { BeltSpec, BeltTensionSpec, TensionRangeSpec } from './spec-sheet.dto.js';

/** How a stored value is shown: as it could be posted, or in the reader's units. */
export type Shown = (kind: MeasureKind, value: number | null) => Quantity | null;

/** A posted belt as it is stored. */
export function beltStored({ name, designation, tension, tensionerArmSwingMax }: BeltSpec): SpecBelt {
  return {
    name: name.trim(),
    designation: designation?.trim() ?? null,
    tension: tension ? tensionStored(tension) : null,
    tensionerArmSwingMaxMm: canonicalOf('size', tensionerArmSwingMax),
  };
}

function tensionStored({ inService, newBelt, deflectionForce, massKgPerM }: BeltTensionSpec) {
  return {
    inService: inService ? rangeStored(inService) : null,
    newBelt: newBelt ? rangeStored(newBelt) : null,
    deflectionForceN: canonicalOf('force', deflectionForce),
    massKgPerM: massKgPerM ?? null,
  };
}

function rangeStored(range: TensionRangeSpec): TensionRange {
  return {
    frequencyMinHz: range.frequencyMinHz ?? null,
    frequencyMaxHz: range.frequencyMaxHz ?? null,
    deflectionMinMm: canonicalOf('size', range.deflectionMin),
    deflectionMaxMm: canonicalOf('size', range.deflectionMax),
  };
}

/** A stored belt as it is answered. */
export function beltShown(
  { name, designation, tension, tensionerArmSwingMaxMm }: SpecBelt,
  shown: Shown,
): BeltSpec {
  return {
    name,
    designation,
    tension: tension
      ? {
          inService: tension.inService ? rangeShown(tension.inService, shown) : null,
          newBelt: tension.newBelt ? rangeShown(tension.newBelt, shown) : null,
          deflectionForce: shown('force', tension.deflectionForceN ?? null),
          massKgPerM: tension.massKgPerM ?? null,
        }
      : null,
    tensionerArmSwingMax: shown('size', tensionerArmSwingMaxMm ?? null),
  };
}

function rangeShown(range: TensionRange, shown: Shown): TensionRangeSpec {
  return {
    frequencyMinHz: range.frequencyMinHz ?? null,
    frequencyMaxHz: range.frequencyMaxHz ?? null,
    deflectionMin: shown('size', range.deflectionMinMm ?? null),
    deflectionMax: shown('size', range.deflectionMaxMm ?? null),
  };
}
