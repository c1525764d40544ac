import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { FIRST_STEPS, type FirstStep, type FirstStepsView, type FirstStepView } from './first-steps.dto.js';
import { type FirstStepsRow, firstStepsRow, MOST_VEHICLES } from './first-steps.queries.js';
import { message } from './messages.js';

/** What does a step. */
const ROUTES: Record<FirstStep, readonly string[]> = {
  depot: ['POST /v1/depots'],
  vehicles: ['POST /v1/vehicles/import', 'POST /v1/vehicles'],
  sheets: ['POST /v1/starter-sets', 'POST /v1/spec-sheets', 'PATCH /v1/vehicles/{id}'],
  plans: ['POST /v1/starter-sets', 'POST /v1/interval-plans', 'PATCH /v1/vehicles/{id}'],
  usage: ['POST /v1/usage-readings/import', 'POST /v1/usage-readings'],
  target: ['POST /v1/reminder-targets'],
  'target-test': ['POST /v1/reminder-targets/{id}/test'],
  'second-person': ['POST /v1/people', 'POST /v1/tokens'],
  'ready-made': [
    ...['PATCH /v1/spec-sheets/{id}', 'POST /v1/spec-sheets/{id}/confirm'],
    ...['PATCH /v1/interval-plans/{id}', 'POST /v1/interval-plans/{id}/confirm'],
  ],
};

@Injectable()
export class FirstStepsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  async get(): Promise<FirstStepsView> {
    const { fleetId, tokenId, person } = fleetScope();
    const asker = { tokenId, personId: person?.id ?? null };
    const row = await firstStepsRow(this.dataSource.manager, fleetId, asker, this.clock.now());
    const items = FIRST_STEPS.map((step) => stepView(step, row));
    const next = items.find(({ done }) => !done)?.step ?? null;
    return { done: next === null, next, items };
  }
}

function stepView(step: FirstStep, row: FirstStepsRow): FirstStepView {
  return {
    step,
    done: isDone(step, row),
    why: shownMessage(message(`first-step-${step}`)),
    routes: ROUTES[step].map((route) => {
      const [method = '', path = ''] = route.split(' ');
      return { method, path };
    }),
    vehiclesLacking: lackingIn(step, row),
  };
}

function isDone(step: FirstStep, row: FirstStepsRow): boolean {
  const done: Record<FirstStep, boolean> = {
    depot: row.hasDepot,
    vehicles: row.hasVehicle,
    sheets: row.hasVehicle && row.withoutSheet === 0 && row.seenWithoutSheet <= MOST_VEHICLES,
    plans: row.hasVehicle && row.withoutPlan === 0 && row.seenWithoutPlan <= MOST_VEHICLES,
    usage: row.hasUsage,
    target: row.hasTarget,
    'target-test': row.hasTestedTarget,
    'second-person': row.hasSecondPerson,
    'ready-made': !row.hasReadyMade,
  };
  return done[step];
}

function lackingIn(step: FirstStep, row: FirstStepsRow): FirstStepView['vehiclesLacking'] {
  if (step === 'sheets') return countOf(row.withoutSheet, row.seenWithoutSheet);
  if (step === 'plans') return countOf(row.withoutPlan, row.seenWithoutPlan);
  return null;
}

const countOf = (found: number, seen: number) => ({
  count: Math.min(found, MOST_VEHICLES),
  orMore: seen > MOST_VEHICLES,
});
