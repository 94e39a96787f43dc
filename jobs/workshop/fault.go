package workshop

import "lastroom/jobs/message"

func refuse(key string, args message.Args) *message.Fault {
	return &message.Fault{Kind: message.Refused, Key: key, Args: args}
}

func unknown(key string, args message.Args) *message.Fault {
	return &message.Fault{Kind: message.Unknown, Key: key, Args: args}
}
