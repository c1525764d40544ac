import { Module } from '@nestjs/common';
import { StarterSetsController } from './starter-sets.controller.js';
import { StarterSetsService } from './starter-sets.service.js';

@Module({ controllers: [StarterSetsController], providers: [StarterSetsService] })
export class StarterSetsModule {}
