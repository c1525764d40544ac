import { Module } from '@nestjs/common';
import { DeliveryTroublesService } from '../../telling/delivery-troubles/delivery-troubles.service.js';
import { TodayController } from './today.controller.js';
import { TodayService } from './today.service.js';

@Module({ controllers: [TodayController], providers: [TodayService, DeliveryTroublesService] })
export class TodayModule {}
