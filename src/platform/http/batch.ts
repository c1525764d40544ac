import type { Logger } from '@nestjs/common';
import { unknownField } from '../fields/wording.js';
import { escapePointer, inspectBody } from '../input/json-body.js';
import { objectNeeded, validated } from '../input/validation.pipe.js';
import { type FieldFault, MOST_FAULTS, shownFault, unacceptable } from '../problems/problem.js';
import { fleetScope, inFleet } from '../scope/fleet-scope.js';
import type { Reader } from '../words/render.js';
import { message } from './messages.js';
import { problemOf } from './problem.filter.js';

export const MAX_BATCH = 200;

/** A batch of records that were collected without a network connection. */
export interface Batch<Input extends object, View> {
  /** The list in the body. */
  field: 'reports' | 'defects';
  path: string;
  /** One record, for the log. */
  record: string;
  input: new () => Input;
  post: (input: Input) => Promise<{ body: View; status: number }>;
  logger: Logger;
}

export interface BatchResult<View> {
  index: number;
  status: number;
  view?: View;
  problem?: Record<string, unknown>;
}

/**
 * Handles each record of a batch by itself, one after the other.
 *
 * @param reader of the problems of single records
 */
export async function postEach<Input extends object, View>(
  body: unknown,
  batch: Batch<Input, View>,
  reader: Reader,
): Promise<BatchResult<View>[]> {
  const results: BatchResult<View>[] = [];
  let faults = 0;
  for (const [index, raw] of recordsOf(body, batch.field).entries()) {
    try {
      results.push({ index, ...(await postOne(raw, index, batch)) });
    } catch (error) {
      // At least one fault of each record is named, because the sender handles each by itself.
      const item = problemOfOne(error, index, batch, Math.max(1, MOST_FAULTS - faults), reader);
      faults += item.problem.errors.length;
      results.push(item);
    }
  }
  return results;
}

async function postOne<Input extends object, View>(
  raw: unknown,
  index: number,
  { input: type, post }: Batch<Input, View>,
): Promise<{ status: number; view: View }> {
  inspectBody(raw);
  const input = await validated(type, raw);
  const scope = fleetScope();
  // An idempotency key covers the whole batch. Adding the record's index keeps the second record
  // from getting the response of the first.
  const idempotency = scope.idempotency && {
    ...scope.idempotency,
    operation: `${scope.idempotency.operation} ${index}`,
  };
  const { body: view, status } = await inFleet({ ...scope, idempotency }, () => post(input));
  return { status, view };
}

/** @param most how many faults to name; the number of further ones is given */
function problemOfOne<Input extends object, View>(
  error: unknown,
  index: number,
  { field, path, record, logger }: Batch<Input, View>,
  most: number,
  reader: Reader,
) {
  const problem = problemOf(error);
  // A 503, or a fault in the batch's headers, is not the result of one record. The whole batch must
  // be sent again.
  if (problem.status === 503 || problem.errors.some(({ header }) => header !== undefined)) throw error;
  // A bug in the service that one record triggers must not block the records after it, now and at
  // every retry.
  if (problem.status >= 500)
    logger.error(`${record} ${index} of a batch: ${error instanceof Error ? error.stack : String(error)}`);
  const errors = problem.errors
    .slice(0, most)
    .map((fault): FieldFault =>
      fault.pointer === undefined ? fault : { ...fault, pointer: `/${field}/${index}${fault.pointer}` },
    );
  const told = problem.toBody(path, reader);
  const leftOut = Number(told.errorsLeftOut ?? 0) + problem.errors.length - errors.length;
  return {
    index,
    status: problem.status,
    problem: {
      ...told,
      errors: errors.map((fault) => shownFault(fault, reader)),
      ...(leftOut > 0 ? { errorsLeftOut: leftOut } : {}),
    },
  };
}

function recordsOf(body: unknown, field: 'reports' | 'defects'): unknown[] {
  if (typeof body !== 'object' || body === null || Array.isArray(body))
    throw unacceptable([{ pointer: '', detail: objectNeeded() }]);
  const unknown = Object.keys(body).find((key) => key !== field);
  if (unknown !== undefined) {
    const pointer = `/${escapePointer(unknown)}`;
    throw unacceptable([{ pointer, detail: unknownField() }]);
  }
  const records = (body as Record<string, unknown>)[field];
  if (!Array.isArray(records) || records.length === 0 || records.length > MAX_BATCH)
    throw unacceptable([
      { pointer: `/${field}`, detail: message('batch-not-a-list', { most: MAX_BATCH, what: field }) },
    ]);
  return records as unknown[];
}
