import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../pipeline/conclusions.module.js';
import { LossTrendsController } from './loss-trends.controller.js';
import { LossTrendsService } from './loss-trends.service.js';

@Module({ imports: [ConclusionsModule], controllers: [LossTrendsController], providers: [LossTrendsService] })
export class LossTrendsModule {}
