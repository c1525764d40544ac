import type { LanguageFile } from '../language-file.js';

/**
 * Spanish, as workshops in the United States speak it: to the mechanic as usted
 * (`docs/glossary.md`). Values stand in braces, in ICU MessageFormat.
 */
export const SPANISH: LanguageFile = {
  locale: 'es-US',
  name: 'Español',
  messages: {
    // legacy
    // quantities
    'quantity-less-than': 'menos de {amount}',
    // atmosphere
    // pressure
    'hold-test-held':
      'Aguantó: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-lost-too-much':
      '{outcome, select, lost {Perdió {amount}} gained {Ganó {amount}} other {No perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}} Encuentre la fuga, repárela y repita la prueba.',
    'hold-test-too-close':
      'No se puede saber por poco: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-right-at-limit':
      'La pérdida está justo en el límite. Use un manómetro más fino y espere más tiempo.',
    'hold-test-settled-by-longer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}}.',
    'hold-test-settled-by-longer-or-finer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}} o use un manómetro con divisiones de {division}.',
    'hold-test-no-target':
      'No se conoce la meta de esta prueba, así que no se evaluó {method, select, vacuum {el vacío inicial} other {la presión inicial}}.',
    'hold-test-nothing-tested':
      'Esto no probó nada: empezó en {start}, que no es más de lo que puede perder. Empiece con más {method, select, vacuum {vacío} other {presión}} y repita.',
    'hold-test-too-short':
      'Aguantó {held, number} de {needed, plural, one {# minuto} other {# minutos}}. Espere {needed, plural, one {# minuto} other {# minutos}}.',
    'hold-test-grew':
      '{method, select, vacuum {El vacío} other {La presión}} aumentó {gain}. Eso no pasa a temperatura constante. Deje que se estabilice, lea las dos temperaturas y repita.',
    'hold-test-boiled':
      'El vacío fue tan profundo que hirvió el refrigerante, y eso parece una fuga. Deje que se enfríe o no pase de {deepest}.',
    'hold-test-started-short':
      'Empezó en {start} y se necesitan {target} {method, select, vacuum {a esta altitud} other {aquí}}. {method, select, vacuum {Llegue a} other {Bombee hasta}} {target} y repita.',
    'hold-test-was-it-other-unit': '¿Eran {meant}?',
    'hold-test-too-hot':
      'El refrigerante estaba a {coolant}. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita por debajo de {limit}.',
    'hold-test-temperature-changed':
      'La temperatura cambió {change} durante la prueba, y eso puede esconder una fuga. Deje que se enfríe y repita.',
    'hold-test-warm':
      'El motor estaba caliente. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita.',
    'hold-test-maybe-warm':
      'El reporte no dice que el motor estaba frío. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Si estaba frío, indíquelo (engineCold). Si no, deje que se enfríe y repita.',
    'hold-test-maybe-warm-or-dry':
      'El reporte no dice que el motor estaba frío. Un motor que se enfría esconde una fuga. Si estaba frío, indíquelo (engineCold). Si el sistema estaba drenado y seco, indique wet: false. Si no es ninguno de los dos, deje que se enfríe y repita.',
    'hold-test-over-pressured':
      'Presión excesiva: {highest} pasa de {limit}, el máximo para probar este sistema. Revise el radiador, el núcleo de calefacción y las mangueras.',
    'hold-test-coarse-gauge':
      'Manómetro poco fino: su incertidumbre de {uncertainty} es tan grande como la pérdida permitida de {allowed}.',
    'basis-hold-test-rate':
      'tasa de pérdida contra la tasa permitida; u = resolución/√12 y lector/√12 por lectura, más el efecto posible de la temperatura (JCGM 100); banda de guarda de 2 u para aprobar, 1.645 u para reprobar (JCGM 106)',
    'basis-hold-test-temperature-correction':
      'corrección por temperatura: gas ideal para el aire, presión de vapor para el refrigerante',
    'basis-hold-test-simple-acceptance':
      'aceptación simple (ILAC-G8): el manómetro es demasiado grueso para una banda de guarda',
    'basis-leak-rate': 'tasa de fuga Q = V·Δp/Δt, solo indicativa: las mangueras ceden',
    // cautions
    'caution-hot-system':
      'Nunca abra un sistema caliente. Motor apagado; espere hasta que la manguera superior se sienta fría en la mano. Cubra el tapón con un trapo y aflójelo despacio hasta su primer tope.',
    'caution-secured':
      'Antes de meter las manos: llave fuera, freno puesto, ruedas calzadas, articulación bloqueada.',
    'caution-cold-into-hot': 'Nunca agregue refrigerante frío a un motor caliente.',
    'caution-poison':
      'El refrigerante es venenoso para personas y animales. Recójalo, no deje que llegue al drenaje y deséchelo según las reglas locales.',
    'caution-protection': 'Use protección para los ojos y las manos.',
    'caution-stands': 'Apoye un vehículo levantado sobre torres de soporte antes de trabajar debajo de él.',
    'caution-moving-parts':
      'Manténgase lejos de bandas y ventiladores. Un ventilador eléctrico puede arrancar con el motor apagado.',
    'caution-exhaust':
      'Nunca haga funcionar un motor bajo techo sin una manguera que saque los gases de escape al exterior. Los gases de escape matan.',
    'caution-timing-belt':
      'Banda de distribución: alinee las marcas de tiempo antes de quitarla. Si la banda mueve la bomba, cambie la bomba junto con ella.',
    'caution-cap-rating': 'Nunca pase de la presión marcada en el tapón al hacer una prueba de presión.',
    'caution-maker':
      'Los pares de apriete, los procedimientos y los tipos de refrigerante vienen de la información de servicio del fabricante del vehículo. Donde las reglas locales lo pidan, el trabajo debe hacerlo personal calificado o con licencia.',
    'caution-intervals':
      'Los intervalos vienen de la información de servicio del fabricante del vehículo. Si hay dos tipos de servicio posibles, planee con el más severo.',
    'caution-estimate':
      'Una fecha proyectada es una estimación. Una fuga, una luz de advertencia o un ruido no esperan a esa fecha.',
    // calendar
    // vehicles
    // checks
    // belt
    // fastening
    // coolant
    'ethylene-glycol': 'etilenglicol',
    'propylene-glycol': 'propilenglicol',
    'mixing-water': 'agua desmineralizada o destilada',
    // coolant-condition
    // strength
    // filling
    // evaluation
    // readings
    // follow-ups
    // conclusions
    // intervals
    'component-coolant': 'anticongelante',
    'component-water-pump': 'bomba de agua',
    'component-drive-belt': 'banda impulsora',
    'component-tensioner': 'tensor',
    'component-idler': 'polea loca',
    'component-thermostat': 'termostato',
    'component-radiator': 'radiador',
    'component-radiator-cap': 'tapón del radiador',
    'component-upper-hose': 'manguera superior',
    'component-lower-hose': 'manguera inferior',
    'component-heater-hose': 'manguera de la calefacción',
    'component-bypass-hose': 'manguera de derivación',
    'component-hose-clamp': 'abrazadera',
    'component-fan-drive': 'mando del ventilador',
    'component-fan-shroud': 'tolva del ventilador',
    'component-reservoir': 'depósito de anticongelante',
    'component-heater-core': 'núcleo del calefactor',
    'component-coolant-filter': 'filtro de anticongelante',
    'component-oil-cooler': 'enfriador de aceite',
    'component-egr-cooler': 'enfriador del EGR',
    'component-head-gasket': 'empaque de la cabeza',
    'component-injector-sleeve': 'copa del inyector',
    'component-timing-belt': 'banda de distribución',
    'component-temperature-sensor': 'sensor de temperatura',
    'component-other': 'otra pieza',
    'action-inspect': 'revisión',
    'action-test': 'prueba',
    'action-adjust': 'ajuste',
    'action-clean': 'limpieza',
    'action-flush': 'lavado',
    'action-replace': 'cambio',
    'action-recheck': 'nueva revisión',
    'part-with-item': '{component} ({item})',
    'work-on-part': '{part}: {action}',
    // usage
    // loss
    // reliability
    // visits
    // job-card
    'card-no-spec-sheet': 'Este vehículo no tiene hoja de especificaciones. Tome piezas, torques, anticongelante, prueba de hermeticidad y bandas de la información del fabricante del vehículo.',
    'card-no-elevation': 'No se conoce la altitud, así que se toma el nivel del mar. A mayor altitud se hace menos vacío y el anticongelante hierve antes.',
    'card-no-hold-test-procedure': 'La hoja de especificaciones no tiene procedimiento para la prueba de hermeticidad, así que se da la práctica común.',
    'card-no-vacuum-target': 'La hoja de especificaciones no dice cuánto vacío se hace. Tómelo de la información del fabricante del vehículo.',
    'card-no-pressure-target': 'No se conoce ni la presión nominal del tapón ni una presión de prueba. Tómela de la información del fabricante del vehículo.',
    'card-target-too-high': 'La hoja de especificaciones pide {target}, más que los {limit} a los que se puede probar este sistema. No pruebe a esa presión. Corrija la hoja.',
    'card-no-target-strength': 'La hoja de especificaciones no dice la concentración deseada, así que se toma {percent, number} % (práctica común).',
    'card-no-technology': 'La hoja de especificaciones no dice la tecnología del anticongelante. El color no la indica: pregunte al fabricante del vehículo.',
    'card-no-drainable-volume': 'La hoja de especificaciones no dice cuánto se drena. Lleve suficiente para todo el sistema, mida lo que sale y vierta lo mismo.',
    'card-no-strength': 'No se conoce la concentración. Léala primero y después calcule cuánto drenar y cambiar.',
    'card-drains-too-little': 'Hay que cambiar {amount} del anticongelante, más de lo que se drena de una vez. Drene y llene dos veces, y haga funcionar el motor entre una y otra.',
    'card-coolant-impossible': 'Anticongelante: {why}',
    'card-no-additive-bottle': 'Al anticongelante le falta aditivo y la hoja de especificaciones no dice cuál. Tome la dosis de la etiqueta, para la capacidad que está en esta hoja.',
    'card-no-cap-rating': 'La hoja de especificaciones no tiene la presión nominal del tapón, así que no se sabe a qué temperatura hierve el anticongelante con el tapón puesto.',
    'card-no-boiling-point': 'Punto de ebullición: {why}',
    'card-no-belt-designation': 'A la hoja de especificaciones le falta la designación de una banda. Léala en la banda vieja o pídala al fabricante.',
    'card-belt-unreadable': 'Banda {belt}: {why}',
    'card-no-part': 'La hoja de especificaciones no tiene pieza para: {parts}.',
    'card-no-torque': 'La hoja de especificaciones no tiene los torques de: {parts}. Tómelos de la información del fabricante del vehículo.',
    'card-pour-spare': 'Por si lo que salió no está tan limpio como para devolverlo: {concentrate} de anticongelante concentrado mezclado con {water} de agua desmineralizada o destilada.',
    'card-pour-after-flush': 'Después de un lavado queda agua en el sistema. Vierta primero anticongelante concentrado sin diluir, todo: {concentrate}. Después llene con agua desmineralizada o destilada.',
    'card-pour-mixed': 'Mezcle antes de verter: {concentrate} de anticongelante concentrado con {water} de agua desmineralizada o destilada.',
    'card-additive': '{amount} de {product}',
    'card-additive-unnamed': '{amount} de aditivo',
    'card-belt-routing': 'Según el diagrama del fabricante del vehículo, que no se guarda aquí.',
    'step-cool': 'Motor apagado. Espere hasta que la manguera superior esté fría al tacto, por debajo de unos {limit}. Afloje el tapón hasta el primer tope, con un trapo encima.',
    'step-inspect': 'Revise: {parts}',
    'step-test': 'Pruebe: {parts}',
    'step-gas-test': 'Prueba de gases de combustión: con el motor frío, baje el nivel para que el probador no aspire anticongelante e instálelo. Después caliente el motor. Si el líquido cambia de color, deje el vehículo estacionado.',
    'step-gas-proof': 'Prueba de gases de combustión: con el motor frío, baje el nivel para que el probador no aspire anticongelante e instálelo. Después haga funcionar el motor caliente y con carga. Una prueba negativa cierra el hallazgo. Si el líquido cambia de color, deje el vehículo estacionado. Deje que se enfríe antes de quitar el probador.',
    'step-read-strength-first': 'Lea la concentración de una muestra mezclada, en una escala para su base',
    'step-read-level': 'Lea el nivel con el motor frío, antes de agregar nada',
    'step-drain': 'Drene el anticongelante. Recójalo y mídalo',
    'step-drain-about': 'Drene el anticongelante. Recójalo y mídalo: unos {amount}',
    'step-drain-some': 'Drene hasta justo debajo de la pieza. Recójalo limpio, para devolverlo',
    'step-drain-some-about': 'Drene hasta justo debajo de la pieza. Recójalo limpio, para devolverlo: unos {amount}',
    'step-clean': 'Limpie: {parts}',
    'step-flush': 'Lave con agua hasta que salga clara. Enjuague al final con agua desmineralizada o destilada. Agua de la llave solo en una emergencia, y anótelo en el reporte.',
    'step-flush-parts': 'Lave con agua hasta que salga clara: {parts}. Enjuague al final con agua desmineralizada o destilada. Agua de la llave solo en una emergencia, y anótelo en el reporte.',
    'step-remove': 'Quite: {parts}',
    'step-remove-timed': 'Ponga el motor en sus marcas de distribución. Quite: {parts}',
    'step-remove-filter': 'Cierre las dos llaves de paso del filtro de anticongelante. Si no tiene, drene primero hasta debajo del filtro. Quite: {parts}',
    'step-fit-part': 'Instale pieza nueva: {part}{then, select, timing {. Gire el motor dos vueltas a mano y revise las marcas de distribución} filter {. Abra otra vez las llaves de paso del filtro} other {}}',
    'step-fit-parts': 'Instale las piezas nuevas, con los asientos limpios y sellos nuevos{then, select, timing {. Gire el motor dos vueltas a mano y revise las marcas de distribución} filter {. Abra otra vez las llaves de paso del filtro} other {}}',
    'step-adjust': 'Ajuste: {parts}',
    'step-tighten-fasteners': 'Apriete los tornillos de: {parts}',
    'step-torque': 'Apriete a los torques que están en esta hoja{turned, select, yes {, y después gire el ángulo indicado} other {}}',
    'step-torque-by-maker': 'Apriete según la información del fabricante del vehículo',
    'step-belt': 'Banda: cada costilla asentada en su ranura, poleas alineadas dentro de 0.33°, tensor en su rango. Recorrido según el diagrama del fabricante del vehículo.',
    'step-hold-test': 'Prueba de hermeticidad por {method, select, vacuum {vacío} other {presión}}, motor frío. {method, select, vacuum {Haga vacío hasta} other {Dé presión hasta}} {target}, cierre la válvula y espere {minutes, plural, one {# minuto} other {# minutos}}. Puede bajar {loss}.',
    'step-hold-test-no-target': 'Prueba de hermeticidad por {method, select, vacuum {vacío} other {presión}}, motor frío. {method, select, vacuum {Haga el vacío} other {Dé la presión}} que indica la información del fabricante del vehículo, cierre la válvula y espere {minutes, plural, one {# minuto} other {# minutos}}. Puede bajar {loss}.',
    'step-hold-test-by-maker': 'Prueba de hermeticidad según la información del fabricante del vehículo',
    'step-proof-test': 'Se perdía anticongelante. Prueba de hermeticidad por {method, select, vacuum {vacío} other {presión}}, sistema lleno y frío. {method, select, vacuum {Haga vacío hasta} other {Dé presión hasta}} {target}, cierre la válvula y espere {minutes, plural, one {# minuto} other {# minutos}}. Puede bajar {loss}.',
    'step-proof-test-no-target': 'Se perdía anticongelante. Prueba de hermeticidad por {method, select, vacuum {vacío} other {presión}}, sistema lleno y frío. {method, select, vacuum {Haga el vacío} other {Dé la presión}} que indica la información del fabricante del vehículo, cierre la válvula y espere {minutes, plural, one {# minuto} other {# minutos}}. Puede bajar {loss}.',
    'step-fill-by-maker': 'Llene con el anticongelante que indica la información del fabricante del vehículo',
    'step-fill-flushed': 'Llene: primero {concentrate} de anticongelante concentrado sin diluir, después hasta {water} de agua desmineralizada o destilada',
    'step-fill-caught': 'Llene hasta la marca con lo que se recogió limpio',
    'step-fill-caught-or-premix': 'Llene hasta la marca con lo que se recogió limpio; si no, con {premix} de anticongelante premezclado al {percent, number} %',
    'step-fill-mixed': 'Llene: {concentrate} de anticongelante concentrado mezclado con {water} de agua desmineralizada o destilada',
    'step-fill-mixed-or-premix': 'Llene: {concentrate} de anticongelante concentrado mezclado con {water} de agua desmineralizada o destilada, o {premix} de anticongelante premezclado al {percent, number} %',
    'step-adjust-strength': 'Drene {amount} y vierta lo mismo de {pour, select, concentrate {anticongelante concentrado sin diluir} other {agua desmineralizada o destilada}}, para llegar a {percent, number} %',
    'step-adjust-strength-unknown': 'Lleve la concentración a la deseada: calcule a partir de la lectura cuánto drenar y cambiar',
    'step-dose': 'Agregue {amount} de {product}',
    'step-dose-unnamed': 'Agregue {amount} de aditivo',
    'step-dose-by-label': 'Agregue aditivo como dice su etiqueta, para la capacidad que está en esta hoja',
    'step-top-up-same': 'Rellene hasta la marca con el mismo anticongelante y anote cuánto',
    'step-road-test': '{by, select, driven {Prueba de carretera} other {Hágalo funcionar con carga}}: temperatura estable, ninguna luz de advertencia, sin fugas, sin ruido de banda',
    'step-recheck': 'Vuelva a revisar el nivel, en frío, después {by, select, driven {del primer recorrido} other {de la primera vez que funcione}}: a más tardar en {days, plural, one {# día} other {# días}} o {limit}',
    'step-recheck-days': 'Vuelva a revisar el nivel, en frío, después {by, select, driven {del primer recorrido} other {de la primera vez que funcione}}: a más tardar en {days, plural, one {# día} other {# días}}',
    'basis-card-pour': 'concentrado y agua: conservación del volumen, los volúmenes se toman como aditivos; concentraciones en % de volumen',
    'basis-card-share': 'para este trabajo sale cerca de {percent, number} % de lo que se drena (práctica común)',
    'basis-card-stays-at-target': 'lo que queda en el bloque y la calefacción se toma a la concentración deseada, {percent, number} %: no se conoce la suya',
    'basis-card-stays-at-known': 'lo que queda en el bloque y la calefacción está a {percent, number} %, la última concentración conocida',
    'basis-card-boiling': 'ebullición: ley de Raoult con la línea de saturación del agua (IAPWS-IF97); {volumePercent, number} % de volumen = {massPercent, number} % de masa; con ±{uncertainty}',
    'basis-card-dose': 'dosis: de {from, number} a {to, number} (la mitad entre los límites, o un cuarto más que el mínimo; práctica común), por lo que aumenta la botella',
    'basis-card-torque-tolerance': 'tolerancia del torque ±{percent, number} % donde la hoja de especificaciones no tiene (práctica común)',
    // statistics
    // job-card-page
    'reading-hold-test': 'prueba de hermeticidad',
    'reading-freeze-point': 'punto de congelación',
    'reading-torque-set': 'registro de torques',
    'reading-fill': 'llenado',
    'reading-warm-up-check': 'revisión de calentamiento',
    'reading-belt-check': 'revisión de la banda',
    'reading-level-check': 'revisión del nivel',
    'reading-top-up': 'relleno',
    'reading-coolant-condition': 'estado del anticongelante',
    'reading-cap-test': 'prueba del tapón',
    'reading-combustion-gas-test': 'prueba de gases de combustión',
    'reading-road-test': 'prueba de carretera',
    'alert-repeat-top-ups': 'rellenos repetidos',
    'alert-rising-loss': 'pérdida que aumenta',
    'alert-unrecorded-water': 'agua sin registrar',
    'alert-weakening-hold': 'hermeticidad que disminuye',
    'alert-early-return': 'regreso anticipado',
    'alert-part-cohort': 'lote de piezas defectuoso',
    'card-page-title': 'Hoja de trabajo {unit}',
    'card-page-date': 'Hoja de trabajo, {date}',
    'card-page-no-sheet': 'sin hoja de especificaciones',
    'card-page-sheet-circuit': '{sheet}, circuito: {circuit}',
    'card-page-mounted-on': 'montado en {unit}',
    'card-page-carries': 'lleva {units}',
    'card-page-carries-more': 'lleva {units} y {more, number} más',
    'card-page-nothing-due': 'No se pidió nada, y no hay nada que ya toque o que pronto toque.',
    'card-page-no-depot': 'sin patio',
    'card-page-depot': '{depot}, {elevation} sobre el nivel del mar',
    'card-page-depot-no-elevation': '{depot}, altitud desconocida',
    'card-page-no-usage': 'sin lectura de uso',
    'card-page-usage': 'aproximadamente {counters}{stale, select, yes {: falta una lectura} other {}}',
    'card-page-released': 'Liberado para circular con hallazgos de seguridad pendientes',
    'card-page-steps': 'Pasos',
    'card-page-parts': 'Piezas que llevar',
    'card-page-coolant': 'Anticongelante que llevar',
    'card-page-torques': 'Torques',
    'card-page-hold-test': 'Prueba de hermeticidad',
    'card-page-belts': 'Bandas',
    'card-page-visit': 'Visita planeada',
    'card-page-due-anyway': 'Toca de todos modos: hágalo en la misma visita',
    'card-page-alerts': 'Alertas de pérdida abiertas: qué revisar',
    'card-page-readings': 'Últimas lecturas',
    'card-page-held': 'Lecturas de uso retenidas para revisión: no cuentan',
    'card-page-missing': 'No se conoce aquí',
    'card-page-cautions': 'Precauciones',
    'card-page-more-rows': '… y {count, number} más, que no se imprimen aquí',
    'card-page-keep-parked': '{what}: déjelo estacionado hasta que {until}',
    'card-page-due-state': '{state, select, window {pronto toca} due {ya toca} late {atrasado} other {}}',
    'card-page-due-state-on': '{state, select, window {pronto toca} due {ya toca} late {atrasado} other {}}, {date}',
    'card-page-which-part': '{fastener} (¿qué pieza?)',
    'card-page-range': '{least} a {most}',
    'card-page-torque-turned': '{torque}, después {angle}',
    'card-page-hold-target': '{method, select, vacuum {vacío} other {presión}}{proof, select, yes {, para probar que la fuga está reparada} other {}}: meta aquí{limit, select, sea { ({amount} al nivel del mar)} never {, nunca más de {amount}} other {}}',
    'card-page-not-known': 'no se conoce',
    'card-page-greatest-vacuum': 'lo máximo que permite el aire de aquí',
    'card-page-hold-loss': 'tiempo y pérdida permitida',
    'card-page-belt': '{belt}: {ribs, plural, one {# costilla} other {# costillas}}, {length} de largo',
    'card-page-no-designation': 'no está en la hoja de especificaciones',
    'card-page-alert': '{kind}{returned, select, yes {, de regreso} other {}}',
    'card-page-alert-status': '{status, select, raised {activa} acknowledged {reconocida} shelved {en pausa} other {cerrada}}, {date}',
    'card-page-reading-name': '{kind} ({which})',
    'card-page-hold-test-name': 'prueba de {method, select, vacuum {vacío} other {presión}}',
    'card-page-verdict': '{verdict, select, pass {pasa} fail {no pasa} other {no concluyente}}{open, select, yes {, pendiente} other {}}, {date}',
    'card-page-passed': 'pasaron: {readings}',
    'card-page-kind-of-coolant': '{base}, {technology}',
    'card-page-no-technology': '{base}, la tecnología no está en la hoja de especificaciones',
    'card-page-strength': 'al {percent, number} %',
    'card-page-concentrate': 'anticongelante concentrado{first, select, yes { sin diluir, se vierte primero} other {}}',
    'card-page-water': 'agua desmineralizada o destilada{after, select, yes {, se vierte después} other {}}',
    'card-page-premix': 'o premezclado al {percent, number} %{ends, select, yes { (queda al {endsAt, number} %)} other {}}',
    'card-page-if-flushed': 'si se lava con agua: primero anticongelante concentrado sin diluir, después agua desmineralizada o destilada',
    'card-page-adjust': '{pour, select, concentrate {anticongelante concentrado sin diluir} other {agua desmineralizada o destilada}}, por lo mismo que se drene',
    'card-page-additive': 'aditivo',
    'card-page-holds': 'capacidad del sistema: {capacity}',
    'card-page-holds-and-stays': 'capacidad del sistema: {capacity}; en el bloque y la calefacción quedan',
    'card-page-boils-open': 'hierve aquí sin el tapón',
    'card-page-boils': 'hierve aquí con el tapón de {cap}; sin el tapón',
    'card-page-freeze-point': 'último punto de congelación, {date}',
    'card-page-freeze-point-value': '{value}{verdict, select, pass {, pasa} fail {, no pasa} inconclusive {, no concluyente} other {}}',
    'card-page-freeze-point-strength': '{value} ({percent, number} %){verdict, select, pass {, pasa} fail {, no pasa} inconclusive {, no concluyente} other {}}',
    'card-page-tick': 'hecho',
    'card-page-blank': '{what, select, strength {lectura} below {bajo la marca} out {salió} cold {¿frío?} start {inicio} end {final} minutes {min} in {entró} distance {distancia} hottest {máxima} other {tiempo}}',
    'card-page-sign': '{what, select, person {Hecho por} date {Fecha} hours {Horas} odometer {Odómetro} other {Notas}}',
    'card-page-basis': 'Con base en: {entries}.',
    // calendar-feed
    'calendar-name': '{fleet}: lista de trabajos por hacer',
    'calendar-about': 'Lo que toca hacer en los vehículos de la flota, el día en que toca.',
    'calendar-about-first': 'Solo los {count, number} que tocan primero, hasta el {date}. Hay más: limite la dirección con depotId, component, state o dueBefore.',
    'calendar-work': '{part}, {action}',
    'calendar-due': '{unit}: {work}',
    'calendar-due-alarm': '{unit}: {work}, pronto toca',
    'calendar-due-by': 'Toca {by, select, distance {por distancia, según se ha usado el vehículo} time {por calendario} hours {por horas de motor, según se ha usado el vehículo} other {este día}}.',
    'calendar-window-opens': 'La ventana de servicio abre el {date}.',
    'calendar-overdue-from': 'Atrasado a partir del {date}.',
    'calendar-postponed-until': 'Pospuesto hasta el {date}.',
    'calendar-at-visit': 'Se hace en la visita del {date}.',
    'calendar-counted-from': 'Se cuenta desde el {date}.',
    'calendar-visit': '{unit}: visita, {work}',
    'calendar-visit-alarm': '{unit}: visita mañana, {work}',
    'calendar-visit-work': 'El vehículo viene para:',
    'calendar-category-visit': 'visita',
    // mail
    // reminders
    // due-list
    // loss-alerts
    // interval-advice
    // visit-plans
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    // vehicles-register
    // depots
    // fleets
    // tokens
    // audit
    // access
    // problems
    // fields
    // http
    // csv
    // queue
    // commands
    // board
  },
};
