import { Module } from '@nestjs/common';
import { PlanSolvingService } from './plan-solving.service.js';

/** Solving plans: in the worker only. */
@Module({ providers: [PlanSolvingService], exports: [PlanSolvingService] })
export class VisitPlansWorkModule {}
