import type { Message } from '../../domain/message.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { Quantity, Unit } from '../../domain/quantities/units.js';
import { quantityFault } from '../../platform/fields/fields.js';
import { instantFault } from '../../platform/fields/instant-fault.js';
import { UUID_PATTERN } from '../../platform/fields/uuid.js';
import { unknownField } from '../../platform/fields/wording.js';
import { isPlain, type Plain } from '../../platform/input/merge-patch.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { message } from './messages.js';

export const MOST_SAMPLES = 5000;

/** A readable item of a batch. */
export interface TemperatureItem {
  index: number;
  vehicleId: string | null;
  unitNumber: string | null;
  at: number;
  celsius: number;
  unit: Unit;
}

export interface RejectedItem {
  index: number;
  reason: string;
  /** Pointer to the field of the item. Empty: the item itself. */
  field: string;
  detail: Message;
}

type ItemFault = Omit<RejectedItem, 'index'>;

const fault = (reason: string, field: string, detail: Message): ItemFault => ({ reason, field, detail });

const FIELDS = new Set(['vehicleId', 'unitNumber', 'readAt', 'temperature']);

/** Reads an item without the validator, because a batch has up to five thousand of them. */
function readItem(item: unknown, index: number): TemperatureItem | RejectedItem {
  if (!isPlain(item))
    return { index, ...fault('unacceptable', '', message('temperature-item-not-an-object')) };
  const found = fieldFault(item) ?? vehicleFault(item);
  if (found) return { index, ...found };
  const { vehicleId, unitNumber = null, readAt, temperature } = item;
  const quantity = temperature as Quantity;
  return {
    index,
    vehicleId: typeof vehicleId === 'string' ? vehicleId.toLowerCase() : null,
    unitNumber: unitNumber as string | null,
    at: Date.parse((readAt as string).toUpperCase().replace(' ', 'T')),
    celsius: canonicalOf('temperature', quantity) as number,
    unit: quantity.unit,
  };
}

function fieldFault(item: Plain): ItemFault | null {
  const unknown = Object.keys(item).find((key) => !FIELDS.has(key));
  if (unknown !== undefined) return fault('unacceptable', `/${unknown.slice(0, 40)}`, unknownField());
  const timeFault = instantFault(item.readAt);
  if (timeFault) return fault('unacceptable', '/readAt', timeFault);
  const valueFault = quantityFault(item.temperature, 'temperature');
  return valueFault ? fault('unacceptable', '/temperature', valueFault) : null;
}

function vehicleFault({ vehicleId = null, unitNumber = null }: Plain): ItemFault | null {
  if (vehicleId === null && unitNumber === null)
    return fault('unknown-vehicle', '/vehicleId', message('temperature-item-without-vehicle'));
  if (vehicleId !== null && (typeof vehicleId !== 'string' || !UUID_PATTERN.test(vehicleId.toLowerCase())))
    return fault('unknown-vehicle', '/vehicleId', message('temperature-item-vehicle-id'));
  if (unitNumber !== null && (typeof unitNumber !== 'string' || unitNumber.length > 40))
    return fault('unknown-vehicle', '/unitNumber', message('temperature-item-unit-number'));
  return null;
}

/**
 * Reads a batch of coolant temperatures.
 *
 * @throws Problem 422 when the body around the items is wrong. A wrong item only rejects that item
 */
export function readBatch(body: unknown): { items: TemperatureItem[]; rejected: RejectedItem[] } {
  const wrong = (pointer: string, detail: Message) => unacceptable([{ pointer, detail }]);
  if (!isPlain(body)) throw wrong('', message('temperature-batch-not-an-object'));
  const unknown = Object.keys(body).find((key) => key !== 'samples');
  if (unknown !== undefined) throw wrong(`/${unknown}`, unknownField());
  const { samples } = body;
  if (!Array.isArray(samples)) throw wrong('/samples', message('temperature-batch-not-a-list'));
  if (samples.length === 0 || samples.length > MOST_SAMPLES)
    throw wrong('/samples', message('temperature-batch-size', { count: samples.length, most: MOST_SAMPLES }));
  const items: TemperatureItem[] = [];
  const rejected: RejectedItem[] = [];
  for (const [index, raw] of samples.entries()) {
    const item = readItem(raw, index);
    if ('reason' in item) rejected.push(item);
    else items.push(item);
  }
  return { items, rejected };
}
