// Package sun answers how much the sun gives a place, by date and latitude.
//
// Model: the daily sum of radiation on a level surface above the air.
//
// Sources: Allen, Pereira, Raes & Smith 1998, Crop evapotranspiration, FAO Irrigation
// and Drainage Paper 56, equations 21 to 25.
//
// Limits: nothing of air, cloud, hills or windows.
package sun
