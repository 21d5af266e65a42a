/**
 * Published cranking pressures of 29 spark engines: makers' service figures, gauge kPa, rounded, hose unspecified, sea level
 * implied. They are the width of what a book would say, not a sample of measured engines.
 */
export interface ServiceFigure {
  readonly engine: string;
  readonly ratio: number;
  /** The maker's standard, or both ends of its range. */
  readonly standardKpa: readonly number[];
  readonly minKpa?: number;
  readonly closesDegAbdc?: number;
  readonly boreMm?: number;
  readonly strokeMm?: number;
  readonly rpm?: number;
  readonly source: string;
}

export const SERVICE_FIGURES: readonly ServiceFigure[] = [
  {
    engine: '2.0 L I4 2003',
    ratio: 9,
    standardKpa: [1190],
    minKpa: 990,
    rpm: 250,
    closesDegAbdc: 60,
    boreMm: 89,
    strokeMm: 80.3,
    source: 'Nissan service manual 2003, p. EM-109',
  },
  {
    engine: '2.5 L I4 2003',
    ratio: 9.5,
    standardKpa: [1250],
    minKpa: 1060,
    rpm: 250,
    closesDegAbdc: 64,
    boreMm: 89,
    strokeMm: 100,
    source: 'Nissan service manual 2003, p. EM-110',
  },
  {
    engine: '1.6 L I4 2007',
    ratio: 10.7,
    standardKpa: [1510],
    minKpa: 1265,
    rpm: 200,
    closesDegAbdc: 59,
    boreMm: 78,
    strokeMm: 83.6,
    source: 'Nissan service manual 2007, p. EM-122',
  },
  {
    engine: '4.5 L V8 2005',
    ratio: 10.5,
    standardKpa: [1320],
    minKpa: 1130,
    rpm: 300,
    closesDegAbdc: 60,
    boreMm: 93,
    strokeMm: 82.7,
    source: 'Infiniti service manual 2005, p. EM-272',
  },
  {
    engine: '5.6 L V8 2008',
    ratio: 9.8,
    standardKpa: [1520],
    minKpa: 1324,
    rpm: 200,
    closesDegAbdc: 60,
    boreMm: 98,
    strokeMm: 92,
    source: 'Infiniti quick reference 2008',
  },
  {
    engine: '1.6 L I4, two injectors a cylinder, 2012',
    ratio: 9.8,
    standardKpa: [1510],
    minKpa: 1270,
    rpm: 200,
    boreMm: 78,
    strokeMm: 83.6,
    source: 'Nissan service data 2012',
  },
  {
    // Variable ratio 8 to 14; which of them while cranking is not stated.
    engine: '1.5 L I3 2021',
    ratio: 14,
    standardKpa: [1530],
    minKpa: 1280,
    rpm: 250,
    boreMm: 84,
    strokeMm: 88.9,
    source: 'Nissan service data 2021',
  },
  {
    engine: '2.0 L I4 single point 1991',
    ratio: 9.8,
    standardKpa: [1226],
    minKpa: 1030,
    boreMm: 86,
    strokeMm: 86,
    source: 'maker’s service manual 1991-97',
  },
  {
    engine: '2.0 L I4 multi point 1991',
    ratio: 9.8,
    standardKpa: [1275],
    minKpa: 1078,
    boreMm: 86,
    strokeMm: 86,
    source: 'maker’s service manual 1991-97',
  },
  {
    engine: '998 cc I4 motorcycle 2009',
    ratio: 12.7,
    standardKpa: [1480],
    minKpa: 1290,
    rpm: 350,
    boreMm: 78,
    strokeMm: 52.2,
    source: 'maker’s service manual 2009',
  },
  {
    engine: '4.4 L V8 supercharged 2008',
    ratio: 9,
    standardKpa: [903, 1089],
    boreMm: 91,
    strokeMm: 84,
    source: 'maker’s service data 2008',
  },
  { engine: '4.0 L I6 1993', ratio: 9.5, standardKpa: [1103, 1172], source: 'maker’s service data 1993' },
  // Pairs of ratio and pressure only.
  ...(
    [
      [9.5, 1372],
      [10, 1420],
      [8.9, 1372],
      [9.5, 1372],
      [9.4, 1324],
      [9.2, 1179],
      [9, 1179],
      [8.9, 1193],
      [10, 1469],
      [10.3, 1469],
      [10, 1613],
      [10, 1227],
      [10, 1172],
      [10, 1276],
      [9, 1179],
      [10, 1179],
      [8, 1076],
    ] as const
  ).map(([ratio, kpa]) => ({
    engine: 'not stated',
    ratio,
    standardKpa: [kpa],
    source: 'maker’s service data 1991 to 2001',
  })),
];
