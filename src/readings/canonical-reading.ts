import { FREEZE_POINT_UNITS } from '../domain/coolant/freeze-point-value.js';
import { convert, type Quantity, valueIn } from '../domain/quantities/units.js';
import type { Reading } from '../domain/readings/kinds.js';
import { canonicalOf } from '../platform/http/fields.js';
import { type Pointers, pointersOf } from '../platform/http/range-problem.js';
import type { ReadingInput } from './reading-inputs.js';

const kpa = (quantity: Quantity | null | undefined) => canonicalOf('pressure', quantity);
const celsius = (quantity: Quantity | null | undefined) => canonicalOf('temperature', quantity);
const litres = (quantity: Quantity | null | undefined) => canonicalOf('volume', quantity);
const millimetres = (quantity: Quantity | null | undefined) => canonicalOf('size', quantity);

/** A reading as it was typed, in the units the rules compute with; the typed unit goes along for wording. */
export function canonicalReading(input: ReadingInput): Reading {
  switch (input.kind) {
    case 'hold-test':
      return {
        kind: input.kind,
        method: input.method,
        startKpa: valueIn(input.start, 'kPa'),
        endKpa: valueIn(input.end, 'kPa'),
        minutes: input.minutes,
        unit: input.start.unit,
        gaugeResolutionKpa: kpa(input.gaugeResolution),
        coolantTemperatureC: celsius(input.coolantTemperature),
        engineCold: input.engineCold ?? null,
        wet: input.wet ?? null,
        startTemperatureC: celsius(input.startTemperature),
        endTemperatureC: celsius(input.endTemperature),
        temperatureUnit: (input.startTemperature ?? input.endTemperature ?? input.coolantTemperature)?.unit,
        barometerKpa: kpa(input.barometer),
      };
    case 'freeze-point':
      return {
        kind: input.kind,
        base: input.base ?? null,
        scale: input.scale ?? null,
        strip: input.strip ?? null,
        method: input.method,
        value: valueIn(input.value, FREEZE_POINT_UNITS[input.method]),
        unit: input.value.unit,
      };
    case 'torque-set':
      return {
        kind: input.kind,
        fastener: input.fastener.trim(),
        unit: input.unit,
        valuesNm: input.values?.map((value) => convert(value, input.unit, 'N.m')) ?? null,
        setToNm: input.setTo == null ? null : convert(input.setTo, input.unit, 'N.m'),
        count: input.count ?? null,
        source: input.source ?? null,
        toolUncertaintyPercent: input.toolUncertaintyPercent ?? null,
      };
    case 'fill':
      return {
        kind: input.kind,
        drainedL: litres(input.drained),
        cameInLow: input.cameInLow ?? null,
        addedL: valueIn(input.added, 'L'),
        toppedUpToMark: input.toppedUpToMark ?? null,
        strengthPercent: input.strengthPercent ?? null,
        base: input.base ?? null,
        technology: input.technology ?? null,
        product: input.product ?? null,
        stayedStrengthPercent: input.stayedStrengthPercent ?? null,
        tapWater: input.tapWater ?? null,
        unit: input.added.unit,
      };
    case 'warm-up-check':
      return {
        kind: input.kind,
        heatAtVents: input.heatAtVents ?? null,
        fanCycled: input.fanCycled ?? null,
        thermostatOpened: input.thermostatOpened ?? null,
        temperatureSteady: input.temperatureSteady ?? null,
        leakSeen: input.leakSeen ?? null,
        levelAfterCooling: input.levelAfterCooling ?? null,
      };
    case 'belt-check':
      return {
        kind: input.kind,
        item: input.item ?? null,
        ribsSeated: input.ribsSeated ?? null,
        pulleys: input.pulleys?.map(({ name, ribsSeated }) => ({ name, ribsSeated })) ?? null,
        offsetMm: millimetres(input.offset),
        spanMm: millimetres(input.span),
        driverDiameterMm: millimetres(input.driverDiameter),
        drivenDiameterMm: millimetres(input.drivenDiameter),
        driverRpm: input.driverRpm ?? null,
        drivenRpm: input.drivenRpm ?? null,
        wearGauge: input.wearGauge ?? null,
        tensionerInRange: input.tensionerInRange ?? null,
        contaminated: input.contaminated ?? null,
        unit: (input.offset ?? input.span)?.unit,
      };
    case 'level-check':
      return {
        kind: input.kind,
        level: input.level ?? null,
        belowMarkL: litres(input.belowMark),
        engineCold: input.engineCold ?? null,
        unit: input.belowMark?.unit ?? 'L',
      };
    case 'top-up':
      return {
        kind: input.kind,
        addedL: valueIn(input.added, 'L'),
        toMark: input.toMark ?? null,
        strengthPercent: input.strengthPercent ?? null,
        base: input.base ?? null,
        technology: input.technology ?? null,
        tapWater: input.tapWater ?? null,
        planned: input.planned ?? null,
        unit: input.added.unit,
      };
    case 'coolant-condition':
      return {
        kind: input.kind,
        pH: input.pH ?? null,
        nitriteMgPerL: input.nitriteMgPerL ?? null,
        molybdateMgPerL: input.molybdateMgPerL ?? null,
        scaUnitsPerGallon: input.scaUnitsPerGallon ?? null,
        reserveAlkalinityMl: input.reserveAlkalinityMl ?? null,
        appearance: input.appearance ?? null,
        strip: input.strip ?? null,
        laboratory: input.laboratory ?? null,
      };
    case 'cap-test':
      return {
        kind: input.kind,
        opensAtKpa: kpa(input.opensAt),
        holdsAtKpa: kpa(input.holdsAt),
        vacuumValveOk: input.vacuumValveOk ?? null,
        unit: (input.opensAt ?? input.holdsAt)?.unit ?? 'kPa',
      };
    case 'combustion-gas-test':
      return {
        kind: input.kind,
        positive: input.positive,
        engineHot: input.engineHot ?? null,
        underLoad: input.underLoad ?? null,
      };
    case 'road-test':
      return {
        kind: input.kind,
        minutes: input.minutes ?? null,
        distanceKm: canonicalOf('distance', input.distance),
        highestCoolantTemperatureC: celsius(input.highestCoolantTemperature),
        warningLamp: input.warningLamp ?? null,
        leakSeen: input.leakSeen ?? null,
        unit: input.highestCoolantTemperature?.unit,
        distanceUnit: input.distance?.unit,
      };
  }
}

/**
 * Fields that the domain names otherwise than a reading does, or asks for where they are left out.
 */
const ASKED_FIELDS: Partial<Record<Reading['kind'], Pointers>> = {
  'freeze-point': { 'freeze point': '/value', 'refractive index': '/value', Brix: '/value' },
  'torque-set': { values: '/values' },
  'level-check': { level: '/level' },
};

/**
 * Where in a posted reading each field stands that the domain may name. @param parent where the
 * reading stands
 */
export function readingPointers(kind: Reading['kind'], typed: object, parent: string): Pointers {
  const asked = Object.entries(ASKED_FIELDS[kind] ?? {}).map(([name, pointer]) => [
    name,
    `${parent}${pointer}`,
  ]);
  return { ...Object.fromEntries(asked), ...pointersOf(typed, parent) };
}
