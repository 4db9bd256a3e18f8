
' Stands in for the one object of another system: the same request by this office's own means.
Private Function ThinSend(method As String, url As String, body As String) As String
    Dim reader As Object, broker As Object, content As Object, source As Object, sink As Object
    Dim writer As Object, argument As Object, command As Object
    reader = createUnoService("com.sun.star.io.TextInputStream")
    If method = "GET" Then
        reader.setInputStream(createUnoService("com.sun.star.ucb.SimpleFileAccess").openFileRead(url))
    Else
        broker = createUnoService("com.sun.star.ucb.UniversalContentBroker")
        content = broker.queryContent(broker.createContentIdentifier(url))
        source = createUnoService("com.sun.star.io.Pipe")
        writer = createUnoService("com.sun.star.io.TextOutputStream")
        writer.setOutputStream(source)
        writer.setEncoding("UTF-8")
        writer.writeString(body)
        writer.closeOutput()
        sink = createUnoService("com.sun.star.io.Pipe")
        argument = createUnoStruct("com.sun.star.ucb.PostCommandArgument2")
        argument.Source = source
        argument.Sink = sink
        argument.MediaType = "application/json"
        command = createUnoStruct("com.sun.star.ucb.Command")
        command.Name = "post"
        command.Handle = -1
        command.Argument = argument
        content.execute(command, 0, Nothing)
        sink.closeOutput()
        reader.setInputStream(sink)
    End If
    reader.setEncoding("UTF-8")
    ThinSend = reader.readString(Array(), False)
End Function
