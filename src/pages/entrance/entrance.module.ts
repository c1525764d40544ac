import { Module } from '@nestjs/common';
import { EntranceController } from './entrance.controller.js';

@Module({ controllers: [EntranceController] })
export class EntranceModule {}
