import { applyDecorators, Get } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProduces } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Readable } from 'node:stream';
import { inSystem, type MeasureKind, MEASURES, type UnitSystem } from '../../domain/quantities/measures.js';
import { fleetScope, inFleet } from '../scope/fleet-scope.js';
import { Choice } from '../fields/fields.js';

/** A `GET` route that returns a list as a CSV file. */
export function CsvRoute(path: string, summary: string, description: string): MethodDecorator {
  return applyDecorators(
    Get(path),
    ApiOperation({ summary, description }),
    ApiProduces('text/csv'),
    ApiOkResponse({
      description: 'CSV (RFC 4180) in UTF-8',
      content: { 'text/csv': { schema: { type: 'string' } } },
    }),
  );
}

/** The query parameter that asks for a byte order mark. */
export function ByteOrderMark(): PropertyDecorator {
  return Choice(['true', 'false'], {
    optional: true,
    description: 'true: begin with a byte order mark, which tells some spreadsheets that the file is UTF-8',
  });
}

export interface CsvFile {
  name: string;
  hasMark: boolean;
  /**
   * The text in pieces. Each piece is queried when the reader is ready for it. No connection is
   * held in between.
   */
  chunks: AsyncGenerator<string>;
}

/** Keeps reading on behalf of the fleet that was in scope at the start, whoever pulls the data. */
async function* onBehalf(chunks: AsyncGenerator<string>): AsyncGenerator<string> {
  const scope = fleetScope();
  try {
    for (;;) {
      const next = await inFleet(scope, () => chunks.next());
      if (next.done) return;
      yield next.value;
    }
  } finally {
    await chunks.return(undefined);
  }
}

async function* startingWith(start: string, rest: AsyncGenerator<string>): AsyncGenerator<string> {
  yield start;
  yield* rest;
}

/**
 * Streams a file to the client. The first piece is read before the answer starts, so an error in it
 * still becomes a problem response.
 */
export async function sendCsv(reply: FastifyReply, { name, hasMark, chunks }: CsvFile): Promise<void> {
  const lines = onBehalf(chunks);
  const first = await lines.next();
  const start = `${hasMark ? '\uFEFF' : ''}${first.done ? '' : first.value}`;
  await reply
    .headers({
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': `attachment; filename="${name}"`,
      'cache-control': 'private, no-store',
    })
    .send(Readable.from(startingWith(start, lines)));
}

/** The header of a measurement column, with its unit: `odometer (mi)`. */
export function headed(name: string, kind: MeasureKind, units: UnitSystem): string {
  return `${name} (${MEASURES[kind][units]})`;
}

/** Converts a canonical value to the reader's units; null stays null. */
export function inUnits(kind: MeasureKind, value: number | null, units: UnitSystem): number | null {
  return value === null ? null : inSystem(kind, value, units).value;
}
