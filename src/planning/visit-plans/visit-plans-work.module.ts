import { Module } from '@nestjs/common';
import { PlanSolvingService } from './plan-solving.service.js';
import { PlanTurnsService } from './plan-turns.service.js';

/** Solving plans: in the worker only. */
@Module({ providers: [PlanSolvingService, PlanTurnsService], exports: [PlanTurnsService] })
export class VisitPlansWorkModule {}
