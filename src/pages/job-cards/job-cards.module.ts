import { Module } from '@nestjs/common';
import { JobCardsController } from './job-cards.controller.js';
import { JobCardsService } from './job-cards.service.js';

@Module({ controllers: [JobCardsController], providers: [JobCardsService] })
export class JobCardsModule {}
