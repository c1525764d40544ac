import { Module } from '@nestjs/common';
import { IntervalAdviceController } from './interval-advice.controller.js';
import { IntervalAdviceService } from './interval-advice.service.js';

@Module({ controllers: [IntervalAdviceController], providers: [IntervalAdviceService] })
export class IntervalAdviceModule {}
