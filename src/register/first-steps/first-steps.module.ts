import { Module } from '@nestjs/common';
import { FirstStepsController } from './first-steps.controller.js';
import { FirstStepsService } from './first-steps.service.js';

@Module({ controllers: [FirstStepsController], providers: [FirstStepsService] })
export class FirstStepsModule {}
