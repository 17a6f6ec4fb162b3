package read
