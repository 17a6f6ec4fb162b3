package field

var Agree = agree
