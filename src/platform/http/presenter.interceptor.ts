import { type CallHandler, type ExecutionContext, Injectable, type NestInterceptor } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { map, type Observable } from 'rxjs';
import { inSystem, isMeasure, type UnitSystem } from '../../domain/quantities/measures.js';
import { fleetScope } from '../database/fleet-scope.js';
import { badQuery } from './problem.js';

/** Ten significant digits: hides what binary fractions add to 61250 mi, and nothing that was measured. */
function rounded(value: number): number {
  return Number.isInteger(value) && Math.abs(value) < 1e10 ? value : Number(value.toPrecision(10));
}

/** Copies an answer, showing each measure in the reader's units. */
export function present(answer: unknown, units: UnitSystem): unknown {
  if (Array.isArray(answer)) return answer.map((item) => present(item, units));
  if (answer instanceof Date) return answer.toISOString();
  if (typeof answer === 'number') return rounded(answer);
  if (typeof answer !== 'object' || answer === null) return answer;
  if (isMeasure(answer)) {
    const quantity = inSystem(answer.measure, answer.value, units);
    const limits = answer as { low?: number; high?: number };
    const shown = (limit: number): number => rounded(inSystem(answer.measure, limit, units).value);
    return {
      value: rounded(quantity.value),
      unit: quantity.unit,
      ...(limits.low === undefined ? {} : { low: shown(limits.low) }),
      ...(limits.high === undefined ? {} : { high: shown(limits.high) }),
    };
  }
  const shown: Record<string, unknown> = {};
  for (const key of Object.keys(answer)) {
    const value = (answer as Record<string, unknown>)[key];
    if (value !== undefined) shown[key] = typeof value === 'string' ? value : present(value, units);
  }
  return shown;
}

/** The units a request wants its answer in: `?units=`, else the fleet's. */
export function unitsOfRequest(request: FastifyRequest): UnitSystem {
  const { units } = request.query as { units?: unknown };
  if (units === undefined) return fleetScope().units;
  if (units === 'us' || units === 'si') return units;
  throw badQuery('units', 'us or si is needed');
}

/** Shows every measure in an answer in the reader's units, so that services need not know them. */
@Injectable()
export class Presenter implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (!request.url.startsWith('/v1/')) return next.handle();
    const units = unitsOfRequest(request);
    return next
      .handle()
      .pipe(
        map((answer) =>
          typeof answer === 'string' || Buffer.isBuffer(answer) ? answer : present(answer, units),
        ),
      );
  }
}
