import { Module } from '@nestjs/common';
import { PlanSolvingService } from './plan-solving.service.js';
import { PlanTurnsService } from './plan-turns.service.js';

/** Solves plans. Only the worker loads this module. */
@Module({ providers: [PlanSolvingService, PlanTurnsService], exports: [PlanTurnsService] })
export class VisitPlansWorkModule {}
