import type { Message } from '../../domain/message.js';
import { isPlain, type Plain } from '../../platform/input/merge-patch.js';
import type { Quantity } from '../../domain/quantities/units.js';
import type { UsageSource } from '../../domain/usage/types.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { instantFault } from '../../platform/fields/instant-fault.js';
import { quantityFault } from '../../platform/fields/fields.js';
import { UUID_PATTERN } from '../../platform/fields/uuid.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { unknownField } from '../../platform/fields/wording.js';
import { message } from './messages.js';

export const MAX_BATCH = 5000;

export const SOURCES: readonly UsageSource[] = ['dash', 'telematics', 'fuel-card', 'job', 'manual'];

/** A valid item of a batch. The vehicle's history decides later whether it is believed. */
export interface UsageItem {
  index: number;
  vehicleId: string | null;
  unitNumber: string | null;
  readAt: Date;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  odometerReplaced: boolean;
  engineHoursReplaced: boolean;
  source: UsageSource;
}

export interface RejectedItem {
  index: number;
  reason: string;
  /** Pointer to the field of the item. Empty: the item itself. */
  field: string;
  detail: Message;
}

const FIELDS = new Set([
  'vehicleId',
  'unitNumber',
  'readAt',
  'odometer',
  'engineHours',
  'odometerReplaced',
  'engineHoursReplaced',
  'source',
]);

function counterReason(value: unknown): string {
  const amount = isPlain(value) ? value.value : value;
  if (typeof amount !== 'number' || !Number.isFinite(amount)) return 'not-a-number';
  return amount < 0 ? 'negative' : 'unacceptable';
}

type ItemFault = Omit<RejectedItem, 'index'>;

const fault = (reason: string, field: string, detail: Message): ItemFault => ({ reason, field, detail });

/**
 * Reads one item of a batch: returns the usage item, or why it is rejected. Does not use the
 * validator, because a batch has up to five thousand items.
 */
export function readItem(item: unknown, index: number): UsageItem | RejectedItem {
  if (!isPlain(item)) return { index, ...fault('unacceptable', '', message('usage-item-not-an-object')) };
  const found = fieldFault(item) ?? vehicleFault(item) ?? counterFault(item) ?? detailFault(item);
  if (found) return { index, ...found };
  const { vehicleId, unitNumber = null, odometer = null, engineHours = null, source = 'manual' } = item;
  return {
    index,
    vehicleId: typeof vehicleId === 'string' ? vehicleId.toLowerCase() : null,
    unitNumber: unitNumber as string | null,
    readAt: new Date((item.readAt as string).toUpperCase().replace(' ', 'T')),
    odometerKm: canonicalOf('distance', odometer as Quantity | null),
    odometerUnit: (odometer as Quantity | null)?.unit ?? null,
    engineHours: canonicalOf('engine-hours', engineHours as Quantity | null),
    odometerReplaced: item.odometerReplaced === true,
    engineHoursReplaced: item.engineHoursReplaced === true,
    source: source as UsageSource,
  };
}

function fieldFault(item: Plain): ItemFault | null {
  const unknown = Object.keys(item).find((key) => !FIELDS.has(key));
  return unknown === undefined ? null : fault('unacceptable', `/${unknown.slice(0, 40)}`, unknownField());
}

function vehicleFault({ vehicleId = null, unitNumber = null }: Plain): ItemFault | null {
  if (vehicleId === null && unitNumber === null)
    return fault('unknown-vehicle', '/vehicleId', message('usage-item-without-vehicle'));
  if (vehicleId !== null && (typeof vehicleId !== 'string' || !UUID_PATTERN.test(vehicleId.toLowerCase())))
    return fault('unknown-vehicle', '/vehicleId', message('usage-item-vehicle-id'));
  if (unitNumber !== null && (typeof unitNumber !== 'string' || unitNumber.length > 40))
    return fault('unknown-vehicle', '/unitNumber', message('usage-item-unit-number'));
  return null;
}

/** Checks the time and the counters. */
function counterFault({ readAt, odometer = null, engineHours = null }: Plain): ItemFault | null {
  const timeFault = instantFault(readAt);
  if (timeFault) return fault('unacceptable', '/readAt', timeFault);
  if (odometer === null && engineHours === null)
    return fault('not-a-number', '/odometer', message('usage-item-without-counter'));
  const distanceFault = odometer === null ? null : quantityFault(odometer, 'distance');
  if (distanceFault) return fault(counterReason(odometer), '/odometer', distanceFault);
  const hoursFault = engineHours === null ? null : quantityFault(engineHours, 'engine-hours');
  return hoursFault ? fault(counterReason(engineHours), '/engineHours', hoursFault) : null;
}

/** Checks the flags for replaced counters, and the source. */
function detailFault(item: Plain): ItemFault | null {
  for (const flag of ['odometerReplaced', 'engineHoursReplaced'] as const) {
    if (item[flag] !== undefined && item[flag] !== null && typeof item[flag] !== 'boolean')
      return fault('unacceptable', `/${flag}`, message('usage-item-flag'));
  }
  const { source = 'manual' } = item;
  return SOURCES.includes(source as UsageSource)
    ? null
    : fault('unacceptable', '/source', message('usage-item-source', { sources: SOURCES }));
}

/**
 * Reads a batch of usage readings.
 *
 * @throws Problem 422 when the body around the items is wrong. A wrong item only rejects that item
 */
export function readBatch(body: unknown): { items: UsageItem[]; rejected: RejectedItem[] } {
  const faults = (pointer: string, detail: Message) => unacceptable([{ pointer, detail }]);
  if (!isPlain(body)) throw faults('', message('usage-batch-not-an-object'));
  const unknown = Object.keys(body).find((key) => key !== 'readings');
  if (unknown !== undefined) throw faults(`/${unknown}`, unknownField());
  const { readings } = body;
  if (!Array.isArray(readings)) throw faults('/readings', message('usage-batch-not-a-list'));
  if (readings.length === 0 || readings.length > MAX_BATCH)
    throw faults('/readings', message('usage-batch-size', { count: readings.length, most: MAX_BATCH }));
  const items: UsageItem[] = [];
  const rejected: RejectedItem[] = [];
  for (const [index, raw] of readings.entries()) {
    const item = readItem(raw, index);
    if ('reason' in item) rejected.push(item);
    else items.push(item);
  }
  return { items, rejected };
}
