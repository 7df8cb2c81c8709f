package web

// allScreens are the pages there are.
var allScreens = []anyScreen{
	roundsScreen, tankScreen, quantityScreen, readScreen, chooseScreen, formScreen, logScreen, lineScreen,
	settingsScreen, bandsScreen, shownScreen, transferScreen, aboutScreen, beginScreen, enterScreen, refusalScreen,
	waterScreen, followsScreen, phScreen, correctScreen, courseScreen, courseLineScreen, mixScreen, shelfScreen,
	trialsScreen, trialScreen, newTrialScreen, whatifScreen, feedingScreen, animalsScreen, upkeepScreen, awayScreen,
	absenceScreen, animalScreen, calendarScreen, mindScreen,
}
